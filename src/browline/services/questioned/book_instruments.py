"""Instruments as the book knows them: by its last whole review, else by the mode in the register.

A review compares an instrument with others used at the same site. What was cleaned, set otherwise or replaced since
is known no longer.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from browline import display
from browline.documents.review import InstrumentRow
from browline.findings import NOT_JUDGED, OUTCOMES
from browline.instruments.mismatch import MODE_DIFFERENCE_C
from browline.quantities.shares import Z95
from browline.quantities.sites import TEMPORAL
from browline.questioned.priors import Named, Site
from browline.services.book.event_order import outcomes_after
from browline.services.questioned.sources import INSTRUMENT, Source
from browline.store.models import Instrument, Review

CHANGING = ("lens-cleaned", "mode-changed", "unit-changed", "replaced")
SCAN, CORE, ORAL, DIRECT = "forehead-scan", "core", "oral-equivalent", "direct"
# How far builds of one mode differ from the figure their makers give; our judgement.
MODE_SD_C = 0.15


Known = tuple[dict[str, Named], dict[str, Source]]


def reviewed(review: Review, day: str) -> Known:
    """The instruments that a review compared, and where each figure comes from; `day` of the review, in words."""
    changed = _changed_since(review)
    compared = review.document.instruments
    rows = {row.name: row for row in map(_known, compared) if row is not None}
    named = {name: _named(row) for name, row in rows.items() if name not in changed}
    told = {name: _told(name, row, changed, day) for name, row in rows.items()}
    return named, {**told, **_not_judged(compared)}


def _not_judged(rows: Sequence[InstrumentRow]) -> dict[str, Source]:
    names = [row.instrument for row in rows if not row.judged]
    return {name: Source(INSTRUMENT, name, f"{name}: not from this book, {NOT_JUDGED}") for name in names}


class KnownInstrument(NamedTuple):
    """An instrument of which a review tells how it reads: its 95 % interval is `width_c` wide."""

    name: str
    n: int
    comparator: str
    offset_c: float
    width_c: float


def _known(row: InstrumentRow) -> KnownInstrument | None:
    if row.offset_c is None or row.low_c is None or row.high_c is None or row.n < display.FEWEST:
        return None
    return KnownInstrument(
        name=row.instrument,
        n=row.n,
        comparator=row.comparator or "",
        offset_c=row.offset_c,
        width_c=row.high_c - row.low_c,
    )


def _named(row: KnownInstrument) -> Named:
    return Named(float(row.offset_c), float(row.width_c) / (2.0 * Z95))


def _told(name: str, row: KnownInstrument, changed: Mapping[str, str], day: str) -> Source:
    if name in changed:
        says = f"{name}: not from this book, {changed[name]} since the review of {day}"
        return Source(INSTRUMENT, name, says)
    says = (
        f"{name} against {row.comparator}: {display.difference(row.offset_c)}, from this book, "
        f"{display.count(row.n)} readings, review of {day}"
    )
    return Source(INSTRUMENT, name, says, of_the_book=True)


def _changed_since(review: Review) -> dict[str, str]:
    """Instruments with which something was done after the review, and what."""
    return {name: OUTCOMES[code] for name, code in outcomes_after(review) if code in CHANGING}


def by_mode(sites: Mapping[str, Site]) -> Known:
    """Forehead scanners that the register has in another mode than the figures of the forehead stand for."""
    listed = dict(Instrument.objects.filter(kind=SCAN).exclude(mode="").values_list("name", "mode"))
    usual = Counter(listed.values()).most_common(1)[0][0] if listed and sites[TEMPORAL].of_the_book else CORE
    other = {name: mode for name, mode in listed.items() if mode != usual}
    steps = {(CORE, ORAL): -MODE_DIFFERENCE_C, (ORAL, CORE): MODE_DIFFERENCE_C}
    named = {
        name: Named(steps[usual, mode], MODE_SD_C) for name, mode in other.items() if (usual, mode) in steps
    }
    return named, {name: _of_mode(name, mode, usual) for name, mode in other.items()}


def _of_mode(name: str, mode: str, usual: str) -> Source:
    if DIRECT in (mode, usual):
        says = f"{name}: the register has it in mode {mode}; how that differs from {usual} is not known here"
    else:
        step = display.difference(-MODE_DIFFERENCE_C if mode == ORAL else MODE_DIFFERENCE_C)
        says = f"{name}: the register has it in mode {mode}, taken as {step} from {usual} (common practice)"
    return Source(INSTRUMENT, name, says, of_the_book=True)
