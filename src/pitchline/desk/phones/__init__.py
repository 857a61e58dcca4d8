"""Phones: let in from the desk's own page, known by a secret of their own, put out again."""
