"""The book: everything a kitchen has entered, kept for years.

A file of its own by default, or a PostgreSQL database by its address; the same
code for both. `opening` opens it and brings it up to date, `tables` says what
is kept, the other modules are what people may do with it, each with the roles
that may (`roles`).
"""
