"""The book itself: its preferences, its clock, its jobs, the links that let people in."""
