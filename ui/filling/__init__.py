"""Documents on a page: fields, tables, what is wrong beside them, and saving."""
