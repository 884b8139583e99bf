"""Today: what to do, and what is under way."""
