"""Questions a class asks, with their answers."""
