"""A verdict as a paper and as a terminal screen; a blank sheet to print."""
