"""A link for a buyer: one machine's paper and photos, until a day, and nothing else of the yard."""
