"""An instrument round, keyed from the sheet or on a phone."""
