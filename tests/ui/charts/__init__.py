"""What charts show."""
