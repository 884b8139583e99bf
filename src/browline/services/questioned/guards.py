"""Guards of the desk: how long a reading speaks, the lines of the youngest, and for whom no chance is told.

They hold until evidence ages in the model and lines come by age from a document of the hospital.
"""

from collections.abc import Collection, Mapping
from typing import NamedTuple

from browline import display
from browline.questioned import Reading
from browline.questioned.explain import named
from browline.questioned.problem import Problem

# Own judgement, no source: within an hour of the moment that is asked about a reading still speaks of the patient.
SPEAKS_MINUTES = 60.0
# °C. WHO, newborn, armpit: normal 36.5 to 37.5, under it is hypothermia (read in a secondary source). From 4 weeks
# to 3 months under 36.0: own judgement, no source.
COLD_C: dict[str, float] = {"under-4-weeks": 36.5, "4-weeks-3-months": 36.0}
# NICE NG143: 38.0 °C or more under 3 months is high risk. A ward's higher line does not move it.
INFANT_FEVER_C = 38.0

IMMUNE = "immune-suppressed"
AT_RISK: dict[str, str] = {
    "under-3-months": "under 3 months old",
    "neutropenic": "neutropenic",
    IMMUNE: "immune-suppressed",
    "worsening": "ill or getting worse",
}
NOTHING_RECENT = "nothing-recent"


class Withheld(NamedTuple):
    """Why no chance is told: the words for programs, and the sentence."""

    because: tuple[str, ...]
    says: str


def lines_of(age: str, fever_c: float, low_c: float) -> tuple[float, float]:
    """The fever and the low line for an age (a word of the case): the more cautious of the ward's and the age's."""
    if age not in COLD_C:
        return fever_c, low_c
    return min(fever_c, INFANT_FEVER_C), max(low_c, COLD_C[age])


def at_risk(age: str, flags: Collection[str], answers: Mapping[str, str]) -> tuple[str, ...]:
    """Why this patient's readings are not weighed; empty: they are."""
    holds = {
        "under-3-months": age in COLD_C,
        "neutropenic": "neutropenia" in flags,
        IMMUNE: IMMUNE in flags,
        "worsening": answers.get("worsening") == "yes",
    }
    return tuple(word for word in AT_RISK if holds[word])


def recent(readings: tuple[Reading, ...]) -> tuple[int, ...]:
    """Indices of the readings that still speak at the moment that is asked about."""
    return tuple(k for k, one in enumerate(readings) if one.minutes_ago <= SPEAKS_MINUTES)


def why_withheld(risks: tuple[str, ...], any_recent: bool) -> Withheld | None:
    """Why no chance is told; None where it is."""
    says = []
    if risks:
        says.append(f"No chance is told of a patient who is {_listed([AT_RISK[word] for word in risks])}.")
    if not any_recent:
        says.append(f"No chance is told from readings more than {SPEAKS_MINUTES:g} minutes old.")
    because = (*risks, *(() if any_recent else (NOTHING_RECENT,)))
    return Withheld(because, " ".join(says)) if because else None


def not_used(readings: tuple[Reading, ...], used: tuple[int, ...]) -> str:
    """What is said of readings that are shown and not used; empty where all are."""
    old = [named(one) for k, one in enumerate(readings) if k not in used]
    if not old:
        return ""
    are = "It is" if len(old) == 1 else "They are"
    return (
        f"Not used: {'; '.join(old)}. {are} more than {SPEAKS_MINUTES:g} minutes old and cannot say how the patient is "
        "now. If a line was crossed then, escalate now."
    )


def emergencies(age: str, risks: Collection[str], problem: Problem | None) -> tuple[str, ...]:
    """What the guards add to the emergencies of the rules. `problem`: with the readings that still speak, if any."""
    said = ["Immune-suppressed: escalate now, whatever the number."] if IMMUNE in risks else []
    return tuple(said) + (() if problem is None else _cold(age, problem))


def _cold(age: str, problem: Problem) -> tuple[str, ...]:
    cold = [one for one in problem.readings if age in COLD_C and one.value_c < COLD_C[age]]
    if not cold:
        return ()
    return (
        f"Cold for this age: {'; '.join(named(one) for one in cold)}. Under {{{display.decimal(COLD_C[age])}}} is an "
        "emergency here, as a fever is: escalate at once, and warm by local policy."
        " No cause that is found for it makes it less.",
    )


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
