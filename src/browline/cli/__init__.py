"""The terminal door: one command a duty. Nothing heavy is imported before a command is known."""
