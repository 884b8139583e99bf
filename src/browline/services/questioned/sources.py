"""Where a figure comes from: this book, what is published, or common practice."""

from dataclasses import dataclass

SITE, INSTRUMENT, COURSE = "site", "instrument", "course"


@dataclass(frozen=True)
class Source:
    """Where a figure comes from: what it is `about` (site, instrument, course), which one, and the sentence."""

    about: str
    name: str
    says: str
    of_the_book: bool = False
