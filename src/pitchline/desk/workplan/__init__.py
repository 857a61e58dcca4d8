"""The work plan: the cheapest stops, moved by hand, kept, on paper and in the calendar."""
