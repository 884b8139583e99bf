"""Today: what to do, each with its reason, its evidence, who and by when."""
