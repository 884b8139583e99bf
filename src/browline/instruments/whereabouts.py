"""Where an instrument is today: exactly one of present, in use, not located, retired.

The latest round that found it says where. A round that looked for it there, or everywhere, and did not find it
stands against that; one that missed it on another ward does not. A sighting is good for `locate_days`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from enum import Enum

from browline.instruments.problem import Problem
from browline.instruments.records import Charted, Entry, Sighted


class State(Enum):
    """The closed list."""

    PRESENT = "present"
    IN_USE = "in use"
    NOT_LOCATED = "not located"
    RETIRED = "retired"


@dataclass(frozen=True)
class Place:
    """Where one instrument is.

    - `ward`: where it was last found, "" where no round says; `last_sighting`: the latest that found it, however old.
    - `missed`: the round that did not find it, where that is why it is not located.
    - `elsewhere`: other wards on which it was found on the same day: two places on one round.
    - `after_retirement`: it was found after its last day of service.
    - `charted`: what was charted with it lately, which says where to ask; only a round locates.
    - `walked`: whether any round has been made at all.
    """

    entry: Entry
    state: State
    ward: str = ""
    last_sighting: Sighted | None = None
    missed: Sighted | None = None
    elsewhere: tuple[Sighted, ...] = ()
    after_retirement: bool = False
    charted: Charted | None = None
    walked: bool = True

    @property
    def located(self) -> bool:
        """Whether it counts as located."""
        return self.state in (State.PRESENT, State.IN_USE)


def whereabouts(entry: Entry, sightings: Sequence[Sighted], problem: Problem) -> Place:
    """The place of one instrument; `sightings` are its own, in time order."""
    last_sighting = next((s for s in reversed(sightings) if s.located), None)
    ward = last_sighting.ward if last_sighting else ""
    if entry.end is not None and entry.end < problem.today:
        after = last_sighting is not None and problem.day_of(last_sighting.time) > entry.end
        return Place(entry, State.RETIRED, ward, last_sighting, after_retirement=after)
    missed = next(
        (s for s in reversed(sightings) if not s.located and _stands_against(s, last_sighting)), None
    )
    if (
        last_sighting is None
        or missed is not None
        or last_sighting.time < problem.now - timedelta(days=problem.locate_days)
    ):
        charted = problem.charted.get(entry.name)
        walked = bool(problem.sightings)
        return Place(
            entry=entry,
            state=State.NOT_LOCATED,
            ward=ward,
            last_sighting=last_sighting,
            missed=missed,
            charted=charted,
            walked=walked,
        )
    state = State.PRESENT if last_sighting.state == "present" else State.IN_USE
    return Place(entry, state, ward, last_sighting, elsewhere=_elsewhere(last_sighting, sightings, problem))


def _stands_against(missed: Sighted, last_sighting: Sighted | None) -> bool:
    if last_sighting is None:
        return True
    return missed > last_sighting and (
        missed.ward == last_sighting.ward or not missed.ward or not last_sighting.ward
    )


def _elsewhere(last_sighting: Sighted, sightings: Sequence[Sighted], problem: Problem) -> tuple[Sighted, ...]:
    day = problem.day_of(last_sighting.time)
    others = [s for s in sightings if s.located and s.ward and problem.day_of(s.time) == day]
    last = {s.ward: s for s in others if last_sighting.ward and s.ward != last_sighting.ward}
    return tuple(last.values())
