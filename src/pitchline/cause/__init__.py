"""Why it wears so: from what was read and seen to likely causes, what tells them apart, and what to mend first."""
