"""Observing a return demonstration on a phone, also without a network.

The page holds all it needs (the checklist's version, the staff list, who may assess), so that once open it goes on
working; what is finished waits in the phone's outbox until the book has it. A service worker, which would also open
the page without a network, is allowed by browsers over TLS only, and a ward's own network has none.
"""
