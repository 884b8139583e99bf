"""Whether assessors agree."""
