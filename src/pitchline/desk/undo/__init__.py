"""Undo: what was done can be taken back for a day, in place of "are you sure"."""
