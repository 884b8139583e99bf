"""The staff list: who is on it, and who is away."""
