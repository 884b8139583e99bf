"""Is it fit to use today? Cleaning that is due, where each instrument is, battery."""
