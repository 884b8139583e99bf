"""The session plan: where and when to go next."""
