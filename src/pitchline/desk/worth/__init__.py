"""What a machine's running gear is worth, and an offer tried at other asking prices: asked by address alone until one is kept."""
