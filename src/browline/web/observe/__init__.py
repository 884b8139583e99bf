"""Observing a return demonstration on a phone, also without a network."""
