"""pitchline: what a tracked machine's running gear has left."""

__version__ = "0.1.0"
