"""Work that was done: by job, lay-up or part, and what it cost beside what it was reckoned to."""
