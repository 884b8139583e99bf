"""Pages of teaching: plan, sessions, attendance, demonstrations, coverage, records."""
