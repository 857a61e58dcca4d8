"""Settings of a business: units, numbers and days, booking window, tools, its name on papers, its calendar feed."""
