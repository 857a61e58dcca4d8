"""Files in and out: the machine file, the walk-round sheet, the price list and the verdict as JSON."""
