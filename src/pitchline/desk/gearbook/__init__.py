"""The yard's own catalogue of running gear: specified once, fitted to many machines."""
