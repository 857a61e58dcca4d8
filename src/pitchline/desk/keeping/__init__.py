"""The yard kept safe: looked at before it is opened, copied, put back, checked, taken out, and forgotten where somebody asks."""
