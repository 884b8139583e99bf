"""Each ward's ready instruments against its need.

Ready: located on the ward, lens within its date, battery not low or dead at the last look, unit and mode as registered.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from browline.kit.battery import Battery, Power
from browline.kit.due import LensDue
from browline.kit.mismatch import Mismatch
from browline.kit.whereabouts import Place, State


class Fault(Enum):
    """What keeps a located instrument from being ready."""

    LENS = "lens due"
    BATTERY = "battery low or dead"
    UNIT = "other unit than registered"
    MODE = "other mode than registered"


@dataclass(frozen=True)
class WardKit:
    """The kit of one ward.

    `ready` and `unready` are the instruments located there, `missing` those at home there that are not located,
    `away` those at home there and located elsewhere. `need`: how many should be ready, or None where nobody said.
    """

    ward: str
    ready: tuple[str, ...]
    unready: Mapping[str, tuple[Fault, ...]]
    missing: tuple[str, ...]
    away: tuple[Place, ...]
    need: int | None = None

    @property
    def short(self) -> int:
        """How many ready instruments are lacking; 0 where need is met or not stated."""
        return max(0, (self.need or 0) - len(self.ready))


def faults(
    name: str, lenses: Mapping[str, LensDue], batteries: Mapping[str, Battery], differ: Iterable[Mismatch]
) -> tuple[Fault, ...]:
    """What keeps one instrument from being ready."""
    what = {m.what for m in differ if m.entry.name == name}
    holds = {
        Fault.LENS: lenses[name].to_do,
        Fault.BATTERY: batteries[name].outcome is Power.NOW,
        Fault.UNIT: "unit" in what,
        Fault.MODE: "mode" in what,
    }
    return tuple(fault for fault, held in holds.items() if held)


def ward_kits(
    places: Sequence[Place], unfit: Mapping[str, tuple[Fault, ...]], need: Mapping[str, int]
) -> tuple[WardKit, ...]:
    """Every ward that has instruments, should have them, or needs some; by name, "" (not said) last.

    - `places`: instruments in service. `unfit`: what keeps each from being ready, by name.
    """
    known = {p.entry.ward for p in places} | {at(p) for p in places if p.located} | set(need)
    return tuple(
        _ward_kit(ward, places, unfit, need.get(ward)) for ward in sorted(known, key=lambda w: (not w, w))
    )


def at(place: Place) -> str:
    """The ward a located instrument is on: where it was found, else its home."""
    return place.ward or place.entry.ward


def _ward_kit(
    ward: str, places: Sequence[Place], unfit: Mapping[str, tuple[Fault, ...]], need: int | None
) -> WardKit:
    here = [p.entry.name for p in places if p.located and at(p) == ward]
    home = [p for p in places if p.entry.ward == ward]
    return WardKit(
        ward,
        ready=tuple(name for name in here if not unfit[name]),
        unready={name: unfit[name] for name in here if unfit[name]},
        missing=tuple(p.entry.name for p in home if p.state is State.NOT_LOCATED),
        away=tuple(p for p in home if p.located and at(p) != ward),
        need=need,
    )
