"""What the readings say together: where the core is, which readings misled and how, and what to do next."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

# A reading further than this from the core misled: the difference held to matter at a bedside (Niven 2015).
MISLEADS_C = 0.5


class Outcome(StrEnum):
    """What can be said, each with what it means."""

    AT_OR_OVER = "the readings together point to a core at or over the fever line"
    UNDER = "the readings together point to a core under the fever line and not low"
    LOW = "the readings together point to a core under the low line"
    NOT_SETTLED = "these readings cannot settle it"


@dataclass(frozen=True)
class Core:
    """The core at one moment: its middle, the band that holds it 95 times in 100, and the chances at the lines."""

    mean_c: float
    low_c: float
    high_c: float
    fever: float
    low: float


@dataclass(frozen=True)
class Misled:
    """One reading: the core when it was taken, how far the reading was from it, and the chance that it misled.

    Misled: more than `MISLEADS_C` away from the core. `causes`: cause -> chance that it misled by this, largest first;
    they sum to `chance`. `by_c`: the mean of reading less core.
    """

    core: Core
    by_c: float
    chance: float
    causes: Mapping[str, float]


@dataclass(frozen=True)
class Story:
    """One way in which the readings hang together: what misled most, where, and how likely.

    `what`: agree, lag, site (this patient's site reads otherwise, shared by all its readings), gross, technique, or
    the name of a condition or of an instrument's state. `site`, `instrument`: which; empty where none is meant.
    `readings`: how many readings it touches, counted from the problem. `shared`: it moves several readings at once.
    """

    what: str
    site: str
    instrument: str
    readings: tuple[int, ...]
    chance: float
    shared: bool


@dataclass(frozen=True)
class Step:
    """Something to do next. `drop`: how far it is expected to lower the loss of deciding now.

    `kind`: core-probe, second-instrument, prepare-and-repeat, other-site, repeat-later. `wait_minutes` before it.
    `barred`: why it must not be done; empty: nothing is known against it. `fever_from_c`: a reading at or over this
    would make acting as for a fever the better decision; `no_fever_to_c`: one at or under this, not acting; None: no
    reading in sight would. `settles`: the chance that the answer is settled after it.
    """

    kind: str
    site: str
    wait_minutes: float
    drop: float
    settles: float
    fever_from_c: float | None
    no_fever_to_c: float | None
    barred: str = ""


@dataclass(frozen=True)
class Result:
    """The whole answer. `act_as`: fever, low or neither, the decision of least expected loss, until it is settled.

    `safer`: index of the one reading that crosses a line furthest, to be acted on until then; None where none crosses
    a line, and where lines are crossed on both sides. `loss`: the expected loss of deciding now. `left_out`: an
    estimate of the share of probability that the search let go; 0: exact.
    """

    outcome: Outcome
    now: Core
    misled: tuple[Misled, ...]
    stories: tuple[Story, ...]
    steps: tuple[Step, ...]
    act_as: str
    loss: float
    safer: int | None
    left_out: float
