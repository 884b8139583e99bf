"""Questioned readings: the pathway at the bedside, the answer at the desk, what was learned."""
