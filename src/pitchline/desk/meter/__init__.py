"""Hours of machines between walk-rounds: typed, brought in as a table, fed; what is odd about them is asked."""
