"""Free quotes: parts and jobs somebody asked for on one machine, priced and kept, without a plan."""
