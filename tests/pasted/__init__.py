"""What comes in from spreadsheets."""
