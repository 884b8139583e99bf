"""One person's record."""
