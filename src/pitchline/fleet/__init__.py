"""The same judgement over many machines at once."""
