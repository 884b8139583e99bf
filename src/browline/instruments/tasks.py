"""What is to do today, in the order to do it.

One that a check found out of limits, or in a wrong unit or mode, misleads at every reading, so it comes first; then
what a ward may be caught without; then what makes readings creep.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from browline.instruments.battery import Battery, Power
from browline.instruments.check import CheckDue
from browline.instruments.due import LensDue
from browline.instruments.fleet import Fleet
from browline.instruments.mismatch import Mismatch
from browline.instruments.records import Entry
from browline.instruments.whereabouts import Place, State

About = Mismatch | Place | Battery | LensDue | CheckDue


class Kind(Enum):
    """The kinds of task, in order."""

    OUT_OF_LIMITS = "check out of limits"
    SETTING = "unit or mode differs from the register"
    TWO_PLACES = "found in two places"
    RETIRED = "retired, but found on a round"
    BATTERY = "battery"
    MISSING = "not located"
    NO_ROUND = "no round yet"
    LENS = "lens to clean"
    CHECK = "check against a reference"


@dataclass(frozen=True)
class Task:
    """One thing to do about one instrument, and the facts it rests on."""

    kind: Kind
    entry: Entry
    about: About


def list_tasks(fleet: Fleet) -> tuple[Task, ...]:
    """Everything to do, most urgent first."""
    places = list(fleet.places.values())
    settings = sorted(fleet.mismatches, key=lambda m: m.urgency)
    lenses = sorted((d for d in fleet.lenses.values() if d.to_do), key=lambda d: d.urgency)
    checks = sorted((c for c in fleet.checks.values() if c.to_do), key=lambda c: c.urgency)
    missing = [p for p in places if p.state is State.NOT_LOCATED]
    about: dict[Kind, Sequence[About]] = {
        Kind.OUT_OF_LIMITS: [c for c in checks if c.out],
        Kind.SETTING: settings,
        Kind.TWO_PLACES: [p for p in places if p.elsewhere],
        Kind.RETIRED: [p for p in places if p.after_retirement],
        Kind.BATTERY: [b for b in fleet.batteries.values() if b.to_do and _in_reach(b, fleet)],
        Kind.MISSING: [p for p in missing if p.walked],
        Kind.NO_ROUND: [p for p in missing if not p.walked],
        Kind.LENS: lenses,
        Kind.CHECK: [c for c in checks if not c.out],
    }
    return tuple(Task(kind, item.entry, item) for kind, several in about.items() for item in several)


def _in_reach(battery: Battery, fleet: Fleet) -> bool:
    """Whether somebody can go and change it: it is located, or was last seen without power."""
    return battery.outcome is Power.NOW or fleet.places[battery.entry.name].located
