"""Ground fit of one machine in the browser: asked by address alone, nothing is written."""
