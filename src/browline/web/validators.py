"""The years that a date on a page may lie in: one far outside is a slip, and arithmetic with it breaks."""

from datetime import date

from django.core.exceptions import ValidationError

FIRST, LAST = 1990, 2100


def in_our_years(when: date) -> None:
    """Refuse a date or moment outside the years of the book, in words; a validator of a form's field."""
    if not FIRST <= when.year <= LAST:
        raise ValidationError(f"The year {when.year} is not meant: write one from {FIRST} to {LAST}.")
