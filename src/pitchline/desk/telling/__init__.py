"""What the desk tells by itself, where somebody wants it: letters by mail, digests, and hooks to other programs."""
