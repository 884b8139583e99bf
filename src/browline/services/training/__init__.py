"""Who is taught, who can do it, and where the next visit is worth most."""
