"""Who works at the desk: businesses and their people."""
