"""A plan as a workbook: its steps, the sheets, the quantities and the record, a page each."""
