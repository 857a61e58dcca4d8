"""The yard: all machines of one business, the first run, files in, the price list."""
