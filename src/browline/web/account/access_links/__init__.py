"""Passes: links that let others into some pages for a while."""
