"""Each ward's ready instruments against its need.

Ready: located on the ward, lens within its date, battery not low or dead at the last look, unit and mode as registered,
last check not out of limits.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from browline.instruments.battery import Battery, Power
from browline.instruments.check import CheckDue
from browline.instruments.due import LensDue
from browline.instruments.mismatch import Mismatch
from browline.instruments.whereabouts import Place, State


class Fault(Enum):
    """What keeps a located instrument from being ready."""

    LENS = "lens due"
    BATTERY = "battery low or dead"
    UNIT = "other unit than registered"
    MODE = "other mode than registered"
    CHECK = "check out of limits"


@dataclass(frozen=True)
class WardKit:
    """The kit of one ward.

    `ready` and `unready` are the instruments located there, `missing` those at home there that are not located,
    `away` those at home there and located elsewhere. `need`: how many should be ready, or None where nobody said.
    `walked`: whether any round has been made.
    """

    ward: str
    ready: tuple[str, ...]
    unready: Mapping[str, tuple[Fault, ...]]
    missing: tuple[str, ...]
    away: tuple[Place, ...]
    need: int | None = None
    walked: bool = True

    @property
    def short(self) -> int:
        """How many ready instruments are lacking; 0 where need is met or not stated."""
        return max(0, (self.need or 0) - len(self.ready))


def faults(lens: LensDue, battery: Battery, differ: Iterable[Mismatch], check: CheckDue) -> tuple[Fault, ...]:
    """What keeps one instrument from being ready."""
    settings = {m.what for m in differ}
    conditions = {
        Fault.LENS: lens.to_do,
        Fault.BATTERY: battery.outcome is Power.NOW,
        Fault.UNIT: "unit" in settings,
        Fault.MODE: "mode" in settings,
        Fault.CHECK: check.out is not None,
    }
    return tuple(fault for fault, holding in conditions.items() if holding)


def ward_kits(
    places: Sequence[Place],
    unfit: Mapping[str, tuple[Fault, ...]],
    need: Mapping[str, int],
    *,
    walked: bool = True,
) -> tuple[WardKit, ...]:
    """Every ward that has instruments, should have them, or needs some; by name, "" (not said) last.

    - `places`: instruments in service. `unfit`: what keeps each from being ready, by name. `walked`: any round made.
    """
    home: defaultdict[str, list[Place]] = defaultdict(list)
    present: defaultdict[str, list[str]] = defaultdict(list)
    for place in places:
        home[place.entry.ward].append(place)
        if place.located:
            present[current_ward(place)].append(place.entry.name)
    known = sorted({*home, *present, *need}, key=lambda ward: (not ward, ward))
    return tuple(_ward_kit(ward, home[ward], present[ward], unfit, need.get(ward), walked) for ward in known)


def current_ward(place: Place) -> str:
    """The ward a located instrument is on: where it was found, else its home."""
    return place.ward or place.entry.ward


def _ward_kit(
    ward: str,
    home: Sequence[Place],
    present: Sequence[str],
    unfit: Mapping[str, tuple[Fault, ...]],
    need: int | None,
    walked: bool,
) -> WardKit:
    return WardKit(
        ward,
        ready=tuple(name for name in present if not unfit[name]),
        unready={name: unfit[name] for name in present if unfit[name]},
        missing=tuple(p.entry.name for p in home if p.state is State.NOT_LOCATED),
        away=tuple(p for p in home if p.located and current_ward(p) != ward),
        need=need,
        walked=walked,
    )
