"""Return demonstrations: records, amendments, the checklist."""
