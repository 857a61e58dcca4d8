"""The yard in a phone: what a phone carries, what it brings back, and what of that needs a look."""
