"""Many invented wards as one book, and shares with their Monte-Carlo error, for the studies of the audit."""

from dataclasses import replace
from math import sqrt

import numpy as np

from browline.readings import FACTORS, Readings
from browline.synthetic.many_wards import ManyWards

MONTE_CARLO = 3.0
"""Standard errors by which an estimated share may pass a limit before the limit counts as broken."""


def in_time_order(many: ManyWards) -> Readings:
    """The readings as a book holds them."""
    return many.readings.take(np.argsort(many.readings.time, kind="stable"))


def anonymous(readings: Readings) -> Readings:
    """The readings of an export that names neither instruments nor people: the least that every hospital has."""
    nobody = np.full(len(readings), -1, np.int32)
    return replace(readings, codes={**readings.codes, "instrument": nobody, "person": nobody})


def one_book(parts: list[Readings]) -> Readings:
    """Wards of several inventions in one book, none of them taken for one of another."""
    shared = parts[0].names["site"]
    names = {f: tuple(f"{i}:{n}" for i, p in enumerate(parts) for n in p.names[f]) for f in FACTORS}
    before = {f: np.cumsum([0, *(len(p.names[f]) for p in parts)]) for f in FACTORS}
    codes = {
        f: np.concatenate(
            [np.where(p.codes[f] < 0, -1, p.codes[f] + before[f][i]) for i, p in enumerate(parts)]
        )
        for f in FACTORS
    }
    codes["site"] = np.concatenate([p.codes["site"] for p in parts])
    columns = {c: np.concatenate([getattr(p, c) for p in parts]) for c in ("time", "hour", "value", "source")}
    charted = replace(
        parts[0].charted,
        **{c: np.concatenate([getattr(p.charted, c) for p in parts]) for c in vars(parts[0].charted)},
    )
    book = Readings(
        **columns,
        codes={f: c.astype(np.int32) for f, c in codes.items()},
        names={**names, "site": shared},
        row=np.arange(1, len(charted) + 1, dtype=np.int64),
        charted=charted,
    )
    return book.take(np.argsort(book.time, kind="stable"))


def shows_fahrenheit(books: list[ManyWards]) -> dict[str, bool]:
    """Instrument, by its name in `one_book` of these, → whether it truly shows °F."""
    return {
        f"{i}:{b.readings.names['instrument'][code]}": bool(f)
        for i, b in enumerate(books)
        for code, f in zip(b.readings.codes["instrument"], b.instrument_fahrenheit, strict=True)
    }


def above(count: int, n: int, nominal: float) -> bool:
    """Whether a share is over its nominal size by more than Monte-Carlo error."""
    return n > 0 and count / n > nominal + MONTE_CARLO * sqrt(nominal * (1 - nominal) / n)


def below(count: int, n: int, nominal: float) -> bool:
    """Whether a share is under its nominal size by more than Monte-Carlo error."""
    return n > 0 and count / n < nominal - MONTE_CARLO * sqrt(nominal * (1 - nominal) / n)
