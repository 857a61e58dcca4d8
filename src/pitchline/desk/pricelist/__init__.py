"""The price list: in a form by class of machine, what a change moves, its versions, in and out as a file."""
