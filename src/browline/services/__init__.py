"""The verbs of the educator's day, one function a deed: read the store, call a room, write records and an event."""
