"""Pages of questioned readings: the bedside's pathway, the desk, the log."""
