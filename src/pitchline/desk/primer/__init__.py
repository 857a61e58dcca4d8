"""The primer: the trade taught on the tool's own drawings, in the order a colleague learns it, and practised."""
