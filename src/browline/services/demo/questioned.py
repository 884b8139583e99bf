"""Questioned readings of the invented hospital: half a year of lines, and one instrument that recurs in them."""

from datetime import datetime, timedelta
from typing import TypedDict
from uuid import uuid5

import numpy as np

from browline.instruments.questioned import AGES, PARTS_OF_DAY
from browline.quantities.sites import TEMPORAL
from browline.services.demo.teaching import ACTOR, NAMESPACE
from browline.services.questioned.line import Line, Value
from browline.services.questioned.log import instruments, log, standing_lines, wards
from browline.store.folder import Book
from browline.weeks import monday_of

# Lines of each cause and of the recurring instrument; nothing is known of real numbers (our own choice).
CAUSES = {
    "damp": 17,
    "path": 11,
    "covered": 7,
    "too-soon": 6,
    "not-found": 6,
    "drink": 4,
    "lag": 3,
    "came-in": 2,
}
RECURRING, WEEKS, RECENT = 9, 26, 8
LOW, SPREAD, ACCEPTED = 35.8, 0.5, 37.3
# Covered skin and heat in the path read high (common practice, no source); what else is found here reads low.
HIGH, READ_HIGH = 38.6, ("covered",)
ESCALATED, OF_AN_AGE = 0.2, (0.02, 0.05, 0.48, 0.45)


class About(TypedDict):
    """The part of the day, the ward and the age of a line."""

    part: str
    ward: str
    age: str


def doubt(book: Book, now: datetime, *, seed: int) -> str:
    """Log half a year of questioned readings, unless that was done before; returns the instrument that recurs."""
    names, places = instruments(now.date()), wards()
    if standing_lines().exists() or not names or not places:
        return ""
    rng = np.random.default_rng(np.random.SeedSequence([seed, 17]))
    often = str(rng.choice(names))
    causes = [cause for cause, n in CAUSES.items() for _ in range(n)]
    planned = [(cause, str(rng.choice(names)), WEEKS) for cause in causes]
    planned += [(("lens", "not-found")[place % 3 == 0], often, RECENT) for place in range(RECURRING)]
    for number, (cause, name, weeks) in enumerate(planned):
        week = monday_of(now.date()) - timedelta(weeks=int(rng.integers(weeks)))
        key = uuid5(NAMESPACE, f"questioned {number}")
        line = Line(
            week=week,
            values=_values(rng, name, cause),
            cause=cause,
            done=_done(rng),
            accepted=1,
            key=key,
            **_about(rng, places),
        )
        log(line, actor=ACTOR, today=now.date())
    return often


def _values(rng: np.random.Generator, name: str, cause: str) -> tuple[Value, Value]:
    """A forehead that reads low, or high where the cause makes it so, and the mouth that was accepted."""
    oral = round(float(rng.normal(ACCEPTED, SPREAD)), 1)
    off = float(rng.normal(0.0, SPREAD))
    scanned = max(HIGH + off, oral + 0.5) if cause in READ_HIGH else min(LOW + off, oral - 0.5)
    return Value(TEMPORAL, round(scanned, 1), "C", name), Value("oral", oral, "C")


def _done(rng: np.random.Generator) -> tuple[str, ...]:
    return ("escalated" if rng.random() < ESCALATED else "waited", "other-site", "charted")


def _about(rng: np.random.Generator, places: list[str]) -> About:
    return {
        "part": str(rng.choice(list(PARTS_OF_DAY))),
        "ward": str(rng.choice(places)),
        "age": str(rng.choice(list(AGES), p=OF_AN_AGE)),
    }
