"""Sheets on a phone: pages without Streamlit that need no script, and an outbox where there is."""
