"""What comes in from a spreadsheet: counts, shifts and lists of ingredients, mistakes by cell."""
