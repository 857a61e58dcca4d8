"""Files in and out: machine file, walk-round sheet, price list, verdict."""
