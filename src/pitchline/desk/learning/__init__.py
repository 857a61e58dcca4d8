"""Learning from the yard's own walk-rounds and removals, and the fleet tables of the yard, out and in."""
