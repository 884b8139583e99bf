"""The chart of one instrument, ward or stay, drawn twice: wide, and narrow for a telephone."""

from dataclasses import dataclass
from datetime import date

from browline.figures import Figure, stay_chart, weekly_chart
from browline.intake.identifiers import read_identifier
from browline.services.book import preferences
from browline.services.review import series
from browline.services.review.series import StaySeries, WeekSeries
from browline.store.folder import Book
from browline.store.keys import pseudonym, read_key
from browline.store.models import last_whole_review

WIDE = 900
NARROW = 250
DRAWN = ("instrument", "ward", "stay")


@dataclass(frozen=True)
class Chart:
    """Both drawings, what they show in one sentence, and the table behind them."""

    title: str
    wide: str
    narrow: str
    sentence: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def both(title: str, wide: Figure, narrow: Figure) -> Chart:
    """One chart of its two drawings; what is said and tabled is the same for both."""
    return Chart(
        title=title,
        wide=wide.svg,
        narrow=narrow.svg,
        sentence=wide.sentence,
        headings=wide.table.headings,
        rows=wide.table.rows,
    )


def subject_chart(book: Book, subject_type: str, name: str, since: date | str | None = None) -> Chart | None:
    """The chart of a named thing, or None where nothing by that name was charted."""
    if subject_type not in DRAWN:
        return None
    charted = _first_series(book, subject_type, name)
    if charted is None:
        return None
    title = "One stay" if subject_type == "stay" else f"{subject_type.capitalize()} {name}"
    wide, narrow = (_drawn(charted, title, since, width) for width in (WIDE, NARROW))
    return both(title, wide, narrow)


def _first_series(book: Book, subject_type: str, name: str) -> WeekSeries | StaySeries | None:
    """The first series with points among the names it may go by in the book."""
    names = stay_names(book, name) if subject_type == "stay" else (name,)
    tried = (series.series(book, subject_type, each) for each in names)
    return next((candidate for candidate in tried if candidate.points), None)


def stay_names(book: Book, typed: str) -> tuple[str, ...]:
    """What a stay goes by: the number this book gave it, or the pseudonym of what the chart calls it."""
    charted, _ = read_identifier(typed)
    key = read_key(book.identity)
    return (typed, *(str(pseudonym(key, role, charted)) for role in ("stay", "patient")))


def _drawn(charted: WeekSeries | StaySeries, title: str, since: date | str | None, width: int) -> Figure:
    unit = preferences.choice("show_unit")
    if isinstance(charted, StaySeries):
        return stay_chart(charted.points, unit=unit, width=width)
    tolerance = preferences.choice("tolerance_c")
    against = comparator_words(charted.subject, charted.name)
    return weekly_chart(charted.points, title, since, tolerance, unit=unit, comparator=against, width=width)


def comparator_words(subject_type: str, name: str) -> str:
    """Against what the last review compared this instrument or ward, in words."""
    last = last_whole_review()
    if last is None:
        return "its comparator"
    row = last.document.instrument(name) if subject_type == "instrument" else last.document.ward(name)
    return (row and row.comparator) or "its comparator"
