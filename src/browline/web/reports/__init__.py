"""Pages of reports for a committee."""
