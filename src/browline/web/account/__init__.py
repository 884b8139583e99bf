"""Who is in: one-time links, links for others, this book's preferences."""
