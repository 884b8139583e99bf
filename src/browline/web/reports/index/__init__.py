"""Reports: what is carried to others."""
