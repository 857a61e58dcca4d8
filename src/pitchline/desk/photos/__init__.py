"""Photos and documents on a machine, on a part, or on what was seen on a walk-round."""
