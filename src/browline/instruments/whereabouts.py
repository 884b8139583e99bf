"""Where an instrument is today: exactly one of present, in use, not located, retired.

The latest round that found it says where. A round that looked for it there, or everywhere, and did not find it
stands against that; one that missed it on another ward does not. A sighting is good for `locate_days`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from enum import Enum

from browline.instruments.problem import Problem
from browline.instruments.records import Charted, Entry, Seen


class State(Enum):
    """The closed list."""

    PRESENT = "present"
    IN_USE = "in use"
    NOT_LOCATED = "not located"
    RETIRED = "retired"


@dataclass(frozen=True)
class Place:
    """Where one instrument is.

    - `ward`: where it was last found, "" where no round says; `found`: the latest sighting that found it, however old.
    - `missed`: the round that did not find it, where that is why it is not located.
    - `elsewhere`: other wards on which it was found on the same day: two places on one round.
    - `found_retired`: it was found after its last day of service.
    - `charted`: what was charted with it lately, which says where to ask; only a round locates.
    - `walked`: whether any round has been made at all.
    """

    entry: Entry
    state: State
    ward: str = ""
    found: Seen | None = None
    missed: Seen | None = None
    elsewhere: tuple[Seen, ...] = ()
    found_retired: bool = False
    charted: Charted | None = None
    walked: bool = True

    @property
    def located(self) -> bool:
        """Whether it counts as located."""
        return self.state in (State.PRESENT, State.IN_USE)


def whereabouts(entry: Entry, seen: Sequence[Seen], problem: Problem) -> Place:
    """The place of one instrument; `seen` are its sightings in time order."""
    found = next((s for s in reversed(seen) if s.located), None)
    ward = found.ward if found else ""
    if entry.end is not None and entry.end < problem.today:
        after = found is not None and problem.day_of(found.time) > entry.end
        return Place(entry, State.RETIRED, ward, found, found_retired=after)
    missed = next((s for s in reversed(seen) if not s.located and _stands_against(s, found)), None)
    if found is None or missed is not None or found.time < problem.now - timedelta(days=problem.locate_days):
        charted = problem.charted.get(entry.name)
        walked = bool(problem.sightings)
        return Place(
            entry=entry,
            state=State.NOT_LOCATED,
            ward=ward,
            found=found,
            missed=missed,
            charted=charted,
            walked=walked,
        )
    state = State.PRESENT if found.state == "present" else State.IN_USE
    return Place(entry, state, ward, found, elsewhere=_elsewhere(found, seen, problem))


def _stands_against(missed: Seen, found: Seen | None) -> bool:
    if found is None:
        return True
    return missed > found and (missed.ward == found.ward or not missed.ward or not found.ward)


def _elsewhere(found: Seen, seen: Sequence[Seen], problem: Problem) -> tuple[Seen, ...]:
    day = problem.day_of(found.time)
    others = [s for s in seen if s.located and s.ward and problem.day_of(s.time) == day]
    last = {s.ward: s for s in others if found.ward and s.ward != found.ward}
    return tuple(last.values())
