"""Which part fits: sizes of a worn part against a list of new ones."""
