"""Who can do it? Return demonstrations judged, standing, coverage, learning curves, agreement of assessors."""
