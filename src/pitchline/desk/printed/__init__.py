"""Printed sheets: their square code, read from a photo or typed, leads to its machine and its walk-round."""
