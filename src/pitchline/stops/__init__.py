"""Hours left become calls and jobs."""
