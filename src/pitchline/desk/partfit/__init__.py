"""Which part fits: the yard's own tables of parts, and what was read of a worn one held against them."""
