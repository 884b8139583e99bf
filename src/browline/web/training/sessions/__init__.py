"""Sessions: when, where, by whom, and who was there."""
