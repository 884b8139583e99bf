"""Pages of charted readings: imports, wards, sites."""
