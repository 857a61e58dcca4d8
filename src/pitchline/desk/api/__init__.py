"""The desk for scripts: the same reads and writes as its pages, under /api/v1."""
