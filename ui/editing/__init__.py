"""Documents while somebody edits them: fields, tables, mistakes, drafts. Nothing here draws."""
