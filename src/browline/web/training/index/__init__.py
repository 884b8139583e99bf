"""Teaching: what is on, what is due, and the way to each page of it."""
