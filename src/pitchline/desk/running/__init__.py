"""The desk seen by whoever runs it: is it ready, what does it do, and one line for each thing that happens."""
