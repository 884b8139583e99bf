"""One column of a table, summarised: all that the mapping ever sees of a file of a million rows."""

import hashlib
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from browline.intake.non_numeric_words import plain
from browline.intake.times import read_time
from browline.intake.units import tokens
from browline.intake.values import read_value


@dataclass(frozen=True)
class Profile:
    """A column: its `heading` as in the file ("" where none), up to 1,000 distinct non-blank `texts`
    (commonest first) with how often each occurs (`counts`), `filled` cells and `rows` of the table."""

    heading: str
    texts: tuple[str, ...]
    counts: tuple[int, ...]
    filled: int
    rows: int

    def share(self, holds: Callable[[str], bool]) -> float:
        """The share of the counted cells whose text `holds`; 0 where the column is empty."""
        total = sum(self.counts)
        return (
            sum(n for t, n in zip(self.texts, self.counts, strict=True) if holds(t)) / total if total else 0
        )


def profile(heading: str, cells: Iterable[str]) -> Profile:
    """The profile of a short list of cells; a store makes profiles of long columns by itself.

    >>> profile("site", ["Oral", "", "Oral", "Ear"])
    Profile(heading='site', texts=('Oral', 'Ear'), counts=(2, 1), filled=3, rows=4)
    """
    every = list(cells)
    counted: dict[str, int] = {}
    for cell in filter(str.strip, every):
        counted[cell] = counted.get(cell, 0) + 1
    commonest = sorted(counted.items(), key=lambda item: -item[1])[:1000]
    return Profile(
        heading=heading,
        texts=tuple(t for t, _ in commonest),
        counts=tuple(n for _, n in commonest),
        filled=sum(counted.values()),
        rows=len(every),
    )


def signature(headings: Iterable[str]) -> str:
    """A stable mark of a set of headings, to reuse a saved mapping on the next export.

    Case, spacing and the order of the columns do not matter; safe headings only, so that it says nothing.

    >>> signature(["Time", "Value "]) == signature(["value", "TIME"])
    True
    """
    plain_ones = sorted(" ".join(tokens(safe_heading(h))) or plain(h) for h in headings)
    return hashlib.sha256("\x1f".join(plain_ones).encode()).hexdigest()[:16]


_LONG_DIGITS = re.compile(r"\d[\d -]{3,}\d|\d{5,}")
_LONGEST_HEADING = 80


def safe_heading(text: str) -> str:
    """A heading fit to be stored: one that looks like data (an identifier, a time) is not.

    >>> safe_heading("Temp (°C)"), safe_heading("MRN 00451234"), safe_heading("2026-03-07 10:00")
    ('Temp (°C)', '(not kept)', '(not kept)')
    """
    heading = " ".join(text.split())
    if _LONG_DIGITS.search(heading) or looks_like_data(heading) or "@" in heading:
        return "(not kept)"
    return heading[:_LONGEST_HEADING]


def looks_like_data(text: str) -> bool:
    """Whether a cell reads as data rather than as a heading: a time, a number, a temperature.

    >>> looks_like_data("36.6"), looks_like_data("07/03/2026 10:00"), looks_like_data("Temp 2")
    (True, True, False)
    """
    cell = text.strip()
    if (
        re.fullmatch(r"[-+]?\d+([.,]\d+)?\s*%?", cell)
        or is_clock(cell)
        or re.fullmatch(r"[A-Za-z]{0,4}-?\d{4,}", cell)
    ):
        return True
    if any(read_time(cell, order).when for order in ("dmy", "mdy", "ymd")):
        return True
    return read_value(cell).celsius is not None and not re.match(r"[A-Za-z]", cell)


_CLOCK = re.compile(
    r"""(?ix)^ (?: (1(899-12-3[01]|900-01-00|904-01-01)[\ t])? \d{1,2}[:.h]\d{2}([:.]\d{2})?(\.\d+)?(\ ?[ap]\.?m\.?)?
    | [0-2]\d[0-5]\d | \d{1,2}\ ?[ap]\.?m\.? | 0?\.\d+ )$"""
)


def is_clock(text: str) -> bool:
    """Whether a cell is a time of day without a date.

    >>> is_clock("14:05"), is_clock("0930"), is_clock("2026-03-07")
    (True, True, False)
    """
    return bool(_CLOCK.match(text.strip()))


def is_moment(text: str) -> bool:
    """Whether a cell is a date with a time of day, in some order of day and month."""
    return any((read := read_time(text, o)).when and not read.reason for o in ("dmy", "mdy", "ymd"))


def is_date(text: str) -> bool:
    """Whether a cell is a date, with or without a time of day.

    >>> is_date("7 Mar 2026"), is_date("2026-03-07 10:00"), is_date("oral")
    (True, True, False)
    """
    return not is_day_number(text) and any(read_time(text, o).when for o in ("dmy", "mdy", "ymd"))


def is_day_number(text: str) -> bool:
    """Whether a cell could be a spreadsheet's day number without a time of day (or a staff number).

    >>> is_day_number("46088"), is_day_number("46088.58")
    (True, False)
    """
    return bool(re.fullmatch(r"\s*\d{5}\s*", text))


def is_number(text: str) -> bool:
    """Whether a cell is a bare number, with a point or a comma."""
    return bool(re.fullmatch(r"\s*[-+<>]?\s*\d+([.,]\d+)?(e[-+]?\d+)?\s*", text, re.IGNORECASE))
