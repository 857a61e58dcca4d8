"""Ground fit: does a machine suit the ground it is going to, by published methods and with ranges."""
