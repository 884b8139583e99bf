"""What is held before the readings are looked at, in small groups; each says on whose word.

y = 37 + offset + slope (S - 37) + own + instrument + [condition] + [state] + [slip] + error
dS/dt = (C - S) / lag
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Shift:
    """Something that moves a reading when it holds: `odds` to its not holding, and a size N(mean_c, sd_c²) in °C.

    `answer`: the question that raises or lowers its odds; empty: none does.
    """

    name: str
    odds: float
    mean_c: float
    sd_c: float
    answer: str = ""


@dataclass(frozen=True)
class Site:
    """How a site reads against the core.

    `offset_c` at 37.0 °C and `slope` per °C of core; `own_sd_c` between patients, `error_sd_c` of one reading.
    `lags`: (minutes, weight) of the time constant by which it follows the core; weights sum to 1. `conditions` of the
    site, at most one at a time; `slip` in technique; `kind` of instrument that reads it. `source`: on whose word.
    """

    offset_c: float
    slope: float
    own_sd_c: float
    error_sd_c: float
    lags: tuple[tuple[float, float], ...]
    kind: str
    slip: Shift
    conditions: tuple[Shift, ...] = ()
    source: str = ""
    of_the_book: bool = False


@dataclass(frozen=True)
class Kind:
    """Instruments of one kind: how they differ when sound (sd, °C), and states that mislead every reading."""

    sd_c: float
    states: tuple[Shift, ...]


@dataclass(frozen=True)
class Named:
    """What the book knows of one instrument: its offset from others at the same site and how sure (sd), °C."""

    offset_c: float
    sd_c: float


@dataclass(frozen=True)
class Level:
    """A kind of set point: its weight, and N(mean_c, sd_c²) in °C."""

    name: str
    weight: float
    mean_c: float
    sd_c: float


@dataclass(frozen=True)
class Course:
    """How the core moves.

    Around a level it wanders (sd, and hours until forgotten); with odds `surge_odds` it began to move at one of
    `onsets` (minutes before now) at a rate N(rate, sd²) in °C per hour that fades with `surge_hours`.
    """

    levels: tuple[Level, ...]
    wander_sd_c: float
    wander_hours: float
    surge_odds: float
    surge_sd_c_per_h: float
    surge_hours: float
    onsets: tuple[float, ...]
    source: str = ""


@dataclass(frozen=True)
class Priors:
    """Everything held beforehand. `gross`: a value that belongs to no measurement of this patient.

    `stays_minutes`: the time after which a condition of a site has probably changed. `yes`, `no`: by how much an
    answer moves the odds of what it asks about. `older_c`: how much lower 65 and over are. `instruments`: those the
    book knows, by name. `infant_lags`: rectal lags in the first year.
    """

    course: Course
    sites: Mapping[str, Site]
    kinds: Mapping[str, Kind]
    gross: Shift
    infant_lags: tuple[tuple[float, float], ...]
    stays_minutes: float
    yes: float
    no: float
    older_c: float
    instruments: Mapping[str, Named]
