"""The scenarios that come with Backtime."""
