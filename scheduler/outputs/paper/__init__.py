"""Sheets on paper, as PDF: one for each section or person and shift, and the wall sheet."""
