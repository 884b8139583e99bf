"""A questioned reading: the readings, what was observed of the patient, and the lines that matter.

Nothing here names anybody. Values in degrees Celsius, times in minutes before now, probabilities from 0 to 1.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import MappingProxyType

from browline.errors import NotUnderstood
from browline.quantities.sites import SITES, UNKNOWN
from browline.questioned.priors import Priors
from browline.questioned.published import published

READ_SITES = tuple(site for site in SITES if site != UNKNOWN)
LEAST_C, MOST_C, MOST_MINUTES, MOST_READINGS = 25.0, 45.0, 24 * 60.0, 40

ANSWERS: Mapping[str, str] = MappingProxyType(
    {
        "damp": "damp forehead or sweating",
        "covered": "hat, hair, bandage, pillow side or cover on the skin that was read",
        "heat": "something warm, not the patient, in view of the instrument",
        "cold-in": "came in from the cold within the last half hour",
        "cold-drink": "cold drink or ice within the last half hour",
        "hot-drink": "hot drink within the last half hour",
        "antipyretic": "antipyretic within the last three hours",
        "warmed": "is being warmed, or has just exercised",
        "cooled": "is being cooled",
        "worsening": "looks ill or is getting worse",
        "dirty-lens": "the lens was not clean",
        "other-mode": "an instrument may have been in another mode or unit",
    }
)
REPLIES = ("yes", "no", "unknown")
AGES: Mapping[str, str] = MappingProxyType(
    {
        "under-3-months": "under 3 months",
        "3-12-months": "3 to 12 months",
        "1-17-years": "1 to 17 years",
        "adult": "18 to 64 years",
        "65-up": "65 years or older",
    }
)


@dataclass(frozen=True)
class Reading:
    """One reading: its value, where, how long ago, and with which instrument.

    `value_c`: °C, 25 to 45. `minutes_ago`: 0 to 1440. `instrument`: any word; readings with the same word at sites of
    one kind share an instrument, and an empty word is one unnamed instrument for each site. `prepared`: taken after
    the site had been dried, uncovered and waited for.
    """

    value_c: float
    site: str
    minutes_ago: float
    instrument: str = ""
    prepared: bool = False

    def __post_init__(self) -> None:
        _number("value", self.value_c, LEAST_C, MOST_C, "°C")
        _number("minutes ago", self.minutes_ago, 0.0, MOST_MINUTES, "minutes")
        if self.site not in READ_SITES:
            raise NotUnderstood(
                f"The site of a reading is {self.site!r}.",
                f"Known are {', '.join(READ_SITES)}.",
                "Choose one.",
            )


@dataclass(frozen=True)
class Costs:
    """What a wrong decision costs, beside acting on a fever that is not there (1).

    `missed_fever`, `missed_low`: not acting on one that is there. `horizon_minutes`: how long a decision stands; while
    a step is waited for, it is acted on what is known now.
    """

    missed_fever: float = 10.0
    missed_low: float = 10.0
    horizon_minutes: float = 120.0

    def __post_init__(self) -> None:
        _number("cost of a missed fever", self.missed_fever, 0.1, 1000.0, "times a false one")
        _number("cost of a missed low", self.missed_low, 0.1, 1000.0, "times a false one")
        _number("horizon", self.horizon_minutes, 10.0, 24 * 60.0, "minutes")


@dataclass(frozen=True)
class Problem:
    """A question, checked when it is built.

    `answers`: words of `ANSWERS` with "yes", "no" or "unknown" (left out: unknown). `core_probe`: the site of a core
    probe that is in place and has not been read, else empty. `contraindications`: sites that must not be used, each
    with the reason. `another`: whether a second instrument of the kind is at hand. Lines in °C: fever is at or over
    `fever_c`, low is under `low_c`.
    """

    readings: tuple[Reading, ...]
    answers: Mapping[str, str] = field(default_factory=dict)
    age: str = "adult"
    fever_c: float = 38.0
    low_c: float = 35.0
    core_probe: str = ""
    contraindications: Mapping[str, str] = field(default_factory=dict)
    another: bool = True
    costs: Costs = field(default_factory=Costs)
    priors: Priors = field(default_factory=published)

    def __post_init__(self) -> None:
        if not 1 <= len(self.readings) <= MOST_READINGS:
            raise NotUnderstood(
                f"There are {len(self.readings)} readings.",
                f"From 1 to {MOST_READINGS} can be judged.",
                "Give these.",
            )
        _number("fever line", self.fever_c, 37.0, 39.5, "°C")
        _number("low line", self.low_c, 32.0, 36.5, "°C")
        _known("age group", self.age, AGES)
        for word, reply in self.answers.items():
            _known("question", word, ANSWERS)
            _known(f"answer to {word}", reply, REPLIES)
        for site in (*self.contraindications, *([self.core_probe] if self.core_probe else [])):
            _known("site", site, READ_SITES)

    def answer(self, word: str) -> str:
        """The answer to one question, "unknown" where none was given."""
        return self.answers.get(word, "unknown")


def _number(subject: str, value: float, least: float, most: float, unit: str) -> None:
    if not isfinite(value) or not least <= value <= most:
        raise NotUnderstood(
            f"The {subject} is {value:g} {unit}.",
            f"It is from {least:g} to {most:g} {unit}.",
            "Look at it again.",
        )


def _known(subject: str, word: str, words: Mapping[str, str] | tuple[str, ...]) -> None:
    if word not in words:
        raise NotUnderstood(
            f"The {subject} is {word!r}.", f"Known are {', '.join(words)}.", "Choose one of these."
        )
