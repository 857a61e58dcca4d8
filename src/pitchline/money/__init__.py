"""Prices, and what work costs."""
