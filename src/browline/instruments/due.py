"""Lenses that are due: cleaned last, due on, overdue by, and which to do first.

A dirty lens reads low; common practice, no source, cleans it every 14 days. First come those seen dirty or with an
open finding of the review, then those with which most was probably charted past their day:

    past = readings counted in the charts past the due date + readings a day × days past it that the charts do not reach
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum

from browline.instruments.past import Past, charted_past, counts_as_lens, due_day, probably_past
from browline.instruments.problem import Problem
from browline.instruments.records import WITHOUT_LENS, Charted, Cleaned, Entry, Sighted


class Lens(Enum):
    """How the lens stands today."""

    WITHIN = "within its date"
    DUE_TODAY = "due today"
    OVERDUE = "overdue"
    NEVER = "no cleaning on record"
    DIRTY = "seen dirty"
    NONE = "has no lens"


class Reason(Enum):
    """Why one comes before another."""

    DIRTY = "seen dirty"
    FINDING = "the review has an open question about it"
    USED_MUCH = "among the quarter used most"


@dataclass(frozen=True)
class LensDue:
    """The lens of one instrument.

    - `last`: its last cleaning; `due`: the day by which the next is due; None where none is on record.
    - `overdue`: whole days past `due`, 0 within it.
    - `seen_dirty`: the round that saw it dirty since, or None.
    - `past`: readings probably charted past the due date, for the order alone; `charted`: what the charts say of them.
    """

    entry: Entry
    outcome: Lens
    last: datetime | None = None
    due: date | None = None
    overdue: int = 0
    seen_dirty: Sighted | None = None
    reasons: tuple[Reason, ...] = ()
    past: float = 0.0
    charted: Past | None = None

    @property
    def to_do(self) -> bool:
        """Whether it is to be cleaned today."""
        return self.outcome not in (Lens.WITHIN, Lens.NONE)

    @property
    def urgency(self) -> tuple[bool, float, int, str]:
        """Sorts the most urgent first."""
        first = Reason.DIRTY in self.reasons or Reason.FINDING in self.reasons
        return (not first, -self.past, -self.overdue, self.entry.name)


def lens_due(
    entry: Entry,
    sightings: Sequence[Sighted],
    cleaned: Sequence[Cleaned],
    busy: frozenset[str],
    problem: Problem,
) -> LensDue:
    """How the lens of one instrument stands; `sightings` and `cleaned` are its own, in time order; `busy`: `used_much`.

    Where no cleaning is on record, one whole term counts as past: nothing better is known.
    """
    if entry.kind in WITHOUT_LENS:
        return LensDue(entry, Lens.NONE)
    last = next((c.time for c in reversed(cleaned) if counts_as_lens(c)), None)
    due = None if last is None else due_day(problem.day_of(last), problem.clean_days)
    overdue = 0 if due is None else max(0, (problem.today - due).days)
    dirty = next((s for s in reversed(sightings) if s.lens), None)
    if dirty is not None and (dirty.lens != "dirty" or (last is not None and last >= dirty.time)):
        dirty = None
    charted = charted_past(entry, due, problem) if overdue else None
    return LensDue(
        entry=entry,
        outcome=_outcome(due, dirty, problem.today),
        last=last,
        due=due,
        overdue=overdue,
        seen_dirty=dirty,
        reasons=_reasons(entry, dirty, busy, problem),
        past=probably_past(entry, due, overdue, problem),
        charted=charted,
    )


def _outcome(due: date | None, dirty: Sighted | None, today: date) -> Lens:
    if dirty is not None:
        return Lens.DIRTY
    if due is None:
        return Lens.NEVER
    if due > today:
        return Lens.WITHIN
    return Lens.DUE_TODAY if due == today else Lens.OVERDUE


def _reasons(
    entry: Entry, dirty: Sighted | None, busy: frozenset[str], problem: Problem
) -> tuple[Reason, ...]:
    conditions = {
        Reason.DIRTY: dirty is not None,
        Reason.FINDING: entry.name in problem.flagged,
        Reason.USED_MUCH: entry.name in busy,
    }
    return tuple(reason for reason, holding in conditions.items() if holding)


def used_much(charted: Mapping[str, Charted]) -> frozenset[str]:
    """The quarter of the instruments charted most; nobody where fewer than four are charted, or all alike.

    One belongs to it where fewer than a quarter are charted more than it, and some less.
    """
    rates = sorted((c.per_day for c in charted.values()), reverse=True)
    if len(rates) < 4:
        return frozenset()
    least = rates[(len(rates) - 1) // 4]
    return frozenset(name for name, c in charted.items() if c.per_day >= least and c.per_day > rates[-1])
