"""Choices: what she has set for this book."""
