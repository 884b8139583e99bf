"""Coming in by a link that works once."""
