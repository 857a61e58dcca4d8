"""One file for each chore."""
