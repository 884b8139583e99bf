"""Likely causes of an offset, from the pattern this form can see.

Each cause has a weight to begin with and a factor for each sign seen (low or high, from the start or later,
risen after a cleaning or not, register says another mode or not, patients told apart or not); weights are
multiplied and made to sum to 1 among the causes listed. Which sign points where is common practice, no source;
the numbers are our judgement, not measured rates, and are here in one table so that they can be argued with.
"""

from dataclasses import dataclass, replace

from browline.findings import Cause, finding_kind, joint_causes
from browline.variation.result import Effect

LIKELY = 0.5  # chance from which an instrument counts as sinking between cleanings
CURED_BY = 2  # lens cleanings after which a step that stays is hardly dirt


@dataclass(frozen=True)
class Signs:
    """What was seen, as words; a sign that cannot be seen is absent."""

    present: frozenset[str]


Signed = dict[str, float]
LENS_SIGNS: Signed = {
    "high": 0.05,
    "start": 0.7,
    "later": 1.2,
    "rose": 6.0,
    "did not rise": 0.2,
    "cleaned since": 0.15,
    "sinks": 8.0,
}
FAULT_SIGNS: Signed = {
    "high": 0.8,
    "start": 0.8,
    "later": 1.5,
    "rose": 0.3,
    "did not rise": 1.3,
    "sinks": 0.5,
}
MODE_SIGNS: Signed = {
    "high": 1.3,
    "start": 1.5,
    "later": 0.5,
    "other mode": 6.0,
    "usual mode": 0.3,
    "sinks": 0.1,
}
INSTRUMENT: dict[Cause, tuple[float, Signed]] = {
    joint_causes.LENS: (3.0, LENS_SIGNS),
    joint_causes.FAULT: (2.0, FAULT_SIGNS),
    joint_causes.MODE: (2.0, MODE_SIGNS),
    joint_causes.USE: (1.0, {"no stays": 2.0}),
}
# Each kind of finding that names causes -> cause -> (weight to begin with, factor of each sign).
WEIGHTS: dict[str, dict[Cause, tuple[float, Signed]]] = {
    "instrument-offset": INSTRUMENT,
    "instrument-drift": INSTRUMENT,
    "ward-offset": {
        joint_causes.COVERED: (2.0, {"low": 0.2}),
        joint_causes.PRACTICE: (2.0, {"high": 0.7}),
        joint_causes.EQUIPMENT: (2.0, {}),
        joint_causes.PATIENTS: (1.0, {"no stays": 4.0}),
    },
    "technique-support": {
        joint_causes.PATH: (3.0, {"high": 0.4}),
        joint_causes.PLACE: (2.0, {"no stays": 2.0}),
        joint_causes.LOGIN: (1.0, {}),
    },
}


def signs(effect: Effect, stays: bool) -> Signs:
    """The signs of one effect."""
    observed = {"low" if effect.offset_c < 0 else "high"}
    if effect.since is not None:
        observed.add("later" if effect.changed else "start")
    if effect.after_cleaning_c is not None and effect.after_cleaning_sd_c is not None:
        observed.add("rose" if effect.after_cleaning_c > 2 * effect.after_cleaning_sd_c else "did not rise")
    if effect.drift is not None and effect.drift.per_day_c < 0 and effect.drift.chance >= LIKELY:
        observed.add("sinks")
    if effect.changed and effect.cleanings_since >= CURED_BY:
        observed.add("cleaned since")
    if effect.mode_differs is not None:
        observed.add("other mode" if effect.mode_differs else "usual mode")
    if not stays:
        observed.add("no stays")
    return Signs(frozenset(observed))


def causes(kind: str, signs: Signs) -> tuple[Cause, ...]:
    """The causes of a finding of this kind, likeliest first, probabilities summing to 1."""
    weighed = [(cause, _weight(*WEIGHTS[kind][cause], signs)) for cause in finding_kind(kind).causes]
    total = sum(weight for _, weight in weighed)
    ranked = sorted(weighed, key=lambda pair: -pair[1])
    return tuple(replace(cause, probability=weight / total) for cause, weight in ranked)


def _weight(start: float, by: Signed, signs: Signs) -> float:
    for sign in signs.present:
        start *= by.get(sign, 1.0)
    return start
