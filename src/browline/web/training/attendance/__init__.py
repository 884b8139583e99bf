"""Signing in to a session on a phone, by its code."""
