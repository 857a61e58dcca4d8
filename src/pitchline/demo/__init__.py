"""The demo yard: our own invented scenario, made from a seed."""
