"""Rows to core values and back, in one place and without a query."""
