"""A reading becomes life used, with its uncertainty and its plausibility."""
