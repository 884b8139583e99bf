"""Which site and which cover for this patient? One answer from flags, with waits, fallback and reasons."""
