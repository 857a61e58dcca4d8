"""Tags of the price list's pages."""
