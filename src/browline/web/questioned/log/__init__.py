"""The log of questioned readings, and what it teaches."""
