"""Who can do it: tonight, by ward, shift and role; due and overdue."""
