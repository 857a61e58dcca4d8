"""The yard's shelf: what lies there, what it is for, what of it is promised to a kept lay-up, what work took."""
