"""Other hours a week, other ground, another booking window: what moves, before anything is kept."""
