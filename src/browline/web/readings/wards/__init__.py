"""Wards: what the audit saw in each one's charting, week by week, and what to ask."""
