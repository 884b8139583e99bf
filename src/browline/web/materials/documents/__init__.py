"""Controlled documents: read one, change it into a new version, see every version."""
