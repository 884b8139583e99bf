"""Likely causes of an offset, from the pattern this form can see.

Each cause has a weight to begin with and a factor for each sign seen (low or high, from the start or later,
risen after a cleaning or not, register says another mode or not, patients told apart or not); weights are
multiplied and made to sum to 1 among the causes listed. Which sign points where is common practice, no source;
the numbers are our judgement, not measured rates, and are here in one table so that they can be argued with.
"""

from dataclasses import dataclass

from browline.findings import Cause
from browline.variation.result import Effect

LENS = Cause("dirty lens", None, "a check as found, then clean the lens and check again the same day")
FAULT = Cause("lens damage or a fault in the instrument", None, "a check against a reference after cleaning")
MODE = Cause(
    "set to another mode or build than the rest", None, "read its mode and build from its label and menu"
)
USE = Cause("the way or place it is used", None, "let two people read one patient with it and with a spare")
COVERED = Cause(
    "covered skin, or skin not yet settled after coming in", None, "watch a round: uncovered a minute?"
)
PRACTICE = Cause(
    "the way readings are taken on the ward", None, "observe a few readings: path, contact, dry skin"
)
KIND = Cause(
    "the kind or mode of the ward's instruments", None, "swap instruments with another ward for a week"
)
PATIENTS = Cause("the ward's mix of patients", None, "compare patients who moved between wards")
PATH = Cause("path, contact or damp skin", None, "an observed return demonstration")
PLACE = Cause(
    "the shifts, patients or instruments that go with them", None, "compare on the same instruments"
)
LOGIN = Cause("a log-in used by several people", None, "ask who charts under it")


LIKELY = 0.5  # chance from which an instrument counts as sinking between cleanings
CURED_BY = 2  # lens cleanings after which a step that stays is hardly dirt


@dataclass(frozen=True)
class Signs:
    """What was seen, as words; a sign that cannot be seen is absent."""

    seen: frozenset[str]


WEIGHTS: dict[str, tuple[tuple[Cause, float, dict[str, float]], ...]] = {
    "instrument": (
        (
            LENS,
            3.0,
            {
                "high": 0.05,
                "start": 0.7,
                "later": 1.2,
                "rose": 6.0,
                "did not rise": 0.2,
                "cleaned since": 0.15,
                "sinks": 8.0,
            },
        ),
        (
            FAULT,
            2.0,
            {"high": 0.8, "start": 0.8, "later": 1.5, "rose": 0.3, "did not rise": 1.3, "sinks": 0.5},
        ),
        (
            MODE,
            2.0,
            {"high": 1.3, "start": 1.5, "later": 0.5, "other mode": 6.0, "usual mode": 0.3, "sinks": 0.1},
        ),
        (USE, 1.0, {"no stays": 2.0}),
    ),
    "ward": (
        (COVERED, 2.0, {"low": 0.2}),
        (PRACTICE, 2.0, {"high": 0.7}),
        (KIND, 2.0, {}),
        (PATIENTS, 1.0, {"no stays": 4.0}),
    ),
    "person": (
        (PATH, 3.0, {"high": 0.4}),
        (PLACE, 2.0, {"no stays": 2.0}),
        (LOGIN, 1.0, {}),
    ),
}


def signs(effect: Effect, stays: bool) -> Signs:
    """The signs of one effect."""
    seen = {"low" if effect.offset_c < 0 else "high"}
    if effect.since is not None:
        seen.add("later" if effect.changed else "start")
    if effect.after_cleaning_c is not None and effect.after_cleaning_sd_c is not None:
        seen.add("rose" if effect.after_cleaning_c > 2 * effect.after_cleaning_sd_c else "did not rise")
    if effect.drift is not None and effect.drift.per_day_c < 0 and effect.drift.chance >= LIKELY:
        seen.add("sinks")
    if effect.changed and effect.cleanings_since >= CURED_BY:
        seen.add("cleaned since")
    if effect.mode_differs is not None:
        seen.add("other mode" if effect.mode_differs else "usual mode")
    if not stays:
        seen.add("no stays")
    return Signs(frozenset(seen))


def causes(factor: str, signs_seen: Signs) -> tuple[Cause, ...]:
    """The causes of an offset of this kind of subject, likeliest first, probabilities summing to 1."""
    weighed = [(cause, _weight(start, by, signs_seen)) for cause, start, by in WEIGHTS[factor]]
    total = sum(weight for _, weight in weighed)
    ranked = sorted(weighed, key=lambda pair: -pair[1])
    return tuple(Cause(cause.cause, weight / total, cause.tell_apart) for cause, weight in ranked)


def _weight(start: float, by: dict[str, float], signs_seen: Signs) -> float:
    for sign in signs_seen.seen:
        start *= by.get(sign, 1.0)
    return start
