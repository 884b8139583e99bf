"""Sites of measurement: how each reads against the reference site."""
