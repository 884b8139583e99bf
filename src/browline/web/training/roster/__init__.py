"""The roster: bringing it in, and what its codes mean."""
