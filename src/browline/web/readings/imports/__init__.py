"""Readings: bring files in, see what became of every row, and look at what was charted."""
