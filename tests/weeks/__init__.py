"""The whole way, from a written week to an audited plan."""
