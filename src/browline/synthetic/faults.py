"""What can be wrong with an instrument on purpose, and which of it is planted by default.

Sizes of 0.35 to 0.6 °C are the ones a review has to find; 0.4 °C is the published gap between the core and
the oral-equivalent build of one instrument (practice, section 3). How fast a dirty lens sinks is not
published (practice, gaps): our assumption.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from browline.synthetic.scale import Scale

FaultKind = Literal["offset", "mode", "step", "lens", "unit"]


@dataclass(frozen=True)
class Fault:
    """One faulty forehead instrument.

    - `offset`: constant `size_c` from the start. `mode`: constant too, because it shows the oral-equivalent.
    - `step`: `size_c` from the share `since` (0 to 1) of the export on.
    - `lens`: `size_c` is the fall per day since the lens was cleaned, in °C.
    - `unit`: set to °F on a ward that charts in °C; `size_c` is 0.
    `registered`: whether the register already says so (a mode build).
    """

    kind: FaultKind
    size_c: float
    since: float = 0.0
    registered: bool = False


SMALL: tuple[Fault, ...] = (
    Fault("offset", -0.45),
    Fault("offset", 0.40),
    Fault("mode", -0.40, registered=True),
    Fault("step", -0.50, since=0.45),
    Fault("lens", -0.050),
    Fault("unit", 0.0),
)
FULL: tuple[Fault, ...] = (
    *SMALL,
    Fault("offset", -0.35),
    Fault("offset", -0.60),
    Fault("offset", 0.50),
    Fault("mode", -0.40),
    Fault("mode", -0.40, registered=True),
    Fault("step", 0.45, since=0.30),
    Fault("step", -0.40, since=0.60),
    Fault("lens", -0.040),
    Fault("unit", 0.0),
)
FEWEST_FOR_ALL = 30_000


def default_faults(scale: Scale) -> Sequence[Fault]:
    """The faults planted when nothing else is asked for: fewer where there are few readings to show them."""
    if scale.readings < FEWEST_FOR_ALL:
        return SMALL[:2]
    return SMALL if scale.instruments < 100 else FULL
