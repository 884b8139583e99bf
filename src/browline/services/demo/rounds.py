"""Rounds of instruments in the invented hospital: one of each ward in the last days, with something found on most."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from uuid import uuid5

import numpy as np

from browline.services.demo.teaching import ACTOR, NAMESPACE
from browline.services.instruments.rounds import SHEET, Line, Round, record_round
from browline.store.folder import Book
from browline.store.models import Instrument, Sighting

NOT_FOUND, IN_USE, DULL, LOW = 0.08, 0.15, 0.2, 0.05


def walk(book: Book, now: datetime, *, seed: int) -> int:
    """Walk each ward once in the four days before `now`, unless that was done before; returns how many wards."""
    if Sighting.objects.exists():
        return 0
    homes = defaultdict(list)
    for instrument in Instrument.objects.listed().order_by("name"):
        homes[instrument.ward].append(instrument)
    rng = np.random.default_rng(np.random.SeedSequence([seed, 13]))
    for ward, instruments in sorted(homes.items()):
        when = now - timedelta(hours=float(rng.integers(4, 96)))
        lines = tuple(_lines(instruments, rng))
        walked = Round(ward, when, lines, how=SHEET, key=uuid5(NAMESPACE, f"round {ward}"))
        record_round(walked, actor=ACTOR, now=now)
    return len(homes)


def _lines(instruments: Iterable[Instrument], rng: np.random.Generator) -> Iterator[Line]:
    for instrument in instruments:
        lot = rng.random(4)
        if lot[0] < NOT_FOUND:
            yield Line(instrument.name, "not-located")
            continue
        state = "in-use" if lot[1] < IN_USE else "present"
        lens = "cleaned" if lot[2] < DULL else "clean"
        yield Line(
            instrument=instrument.name,
            state=state,
            lens=lens,
            mode=instrument.mode,
            unit=instrument.unit,
            battery="low" if lot[3] < LOW else "ok",
        )
