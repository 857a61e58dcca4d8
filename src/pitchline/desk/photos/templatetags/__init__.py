"""Tags for placing photos on other pages."""
