"""A finding: one thing that cannot be trusted, how sure, since when, why, and what to do about it.

Rooms make findings; the store keeps them across reviews; the doors show them. The words of a finding are
written where it is made, so that page, paper and terminal say the same.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

KINDS: tuple[str, ...] = (
    "instrument-offset",
    "instrument-drift",
    "instrument-unit",
    "instrument-mode",
    "ward-offset",
    "technique-support",
    "value-spike",
    "copied-values",
    "round-batch",
    "site-missing",
    "repeat-too-soon",
    "implausible",
    "cannot-separate",
)

# Findings of the joint model about instruments, wards and people.
BY_MODEL = ("instrument-offset", "instrument-drift", "ward-offset", "technique-support", "cannot-separate")

NOT_JUDGED = "not judged yet: technique and instrument are not told apart here"
TAKEN_BACK = (
    "Withdrawn: most of its readings are by mouth or in the armpit, and there technique and instrument are not told"
    " apart yet; flags made there were false. This does not say that it reads right: a check against a reference tells."
)
# What a review's row says of how far its subject reads off: null where it is not judged.
OFFSET = (
    "offset_c", "low_c", "high_c", "probability_beyond", "drift_c_per_day", "drift_low", "drift_high", "since",
)  # fmt: skip

# As found: what a check shows after cleaning says nothing of what was charted before it.
CHECK_AS_FOUND = (
    "Bring a spare, tag this instrument and keep it out of use. Have it checked as found, before it is cleaned; then"
    " clean its lens and have it checked again."
)

OUTCOMES: dict[str, str] = {
    "within-limits": "checked: within limits",
    "out-of-limits": "checked: out of limits",
    "lens-cleaned": "lens cleaned",
    "mode-changed": "mode changed",
    "unit-changed": "unit changed",
    "replaced": "replaced",
    "not-found": "instrument not found",
    "no-fault-found": "no fault found",
    "form-changed": "charting form changed",
    "instruments-brought": "instruments brought",
}

# What a check has to show to confirm a flag, what counts as a check at all, what clears the flag, what ends the matter.
CONFIRMING = ("out-of-limits", "mode-changed", "unit-changed")
CLEARING = ("within-limits", "no-fault-found")
CHECKED = CONFIRMING + CLEARING
CLOSING = (*CLEARING, "mode-changed", "unit-changed", "replaced", "form-changed")

NEXT_AFTER: dict[str, str] = {
    "instruments-brought": "Look at the ward's weeks after the next export; if nothing has changed, ask again.",
    "out-of-limits": "Keep the spare in use, have this instrument repaired or replaced, then enter that here.",
    "lens-cleaned": "Compare it with a second instrument the same day, and enter what that check shows.",
    "not-found": "Keep a spare on the ward and look for it on the next instrument round; it may be in use elsewhere.",
}

# Days until something should be done. Common practice, no source: a wrong unit misleads at every reading, so it
# is looked at the same day; a thermometer that reads off within a week; habits of a ward within a fortnight.
DUE_DAYS: dict[str, int] = {
    "instrument-unit": 0,
    "instrument-mode": 2,
    "instrument-offset": 7,
    "instrument-drift": 7,
}
DUE_DAYS_OTHERWISE = 14


@dataclass(frozen=True)
class Cause:
    """A likely cause, its probability in [0, 1] among the causes listed, and what would tell it apart."""

    cause: str
    probability: float | None
    tell_apart: str = ""


@dataclass(frozen=True)
class Finding:
    """One finding, as in the review contract.

    - `kind`: one of `KINDS`; `subject_type`: instrument, person, ward, site or book; `subject_id`: its name.
    - `effect`, `low`, `high`: size with its 95 % interval in `unit` ("C" for degrees, "share" in 0..1).
    - `probability`: chance that it is real and beyond the tolerance in force; None where a test has none.
    - `n`: readings it rests on. `since`: first day of it, None where the data cannot say.
    - `comparator`: against what, in words. `action`: the next step. `sentence`: the finding in one sentence.
    """

    kind: str
    subject_type: str
    subject_id: str
    effect: float | None
    low: float | None
    high: float | None
    unit: str
    probability: float | None
    n: int
    since: date | None
    causes: tuple[Cause, ...]
    action: str
    sentence: str
    comparator: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"{self.kind!r} is not a kind of finding; the kinds are {', '.join(KINDS)}")

    @property
    def key(self) -> str:
        """What makes it the same finding in the next review."""
        return f"{self.kind}|{self.subject_type}|{self.subject_id}"

    def as_json(self) -> dict[str, Any]:
        """The finding as the review contract writes it."""
        return {
            "kind": self.kind,
            "subject": {"type": self.subject_type, "id": self.subject_id},
            "effect": self.effect,
            "low": self.low,
            "high": self.high,
            "unit": self.unit,
            "probability": self.probability,
            "n": self.n,
            "since": self.since.isoformat() if self.since else None,
            "causes": [{"cause": c.cause, "probability": c.probability} for c in self.causes],
            "action": self.action,
            "sentence": self.sentence,
        }


def expected_false_share(probabilities: Sequence[float], share: float) -> int:
    """How many of the surest candidates can be flagged with at most `share` of them expected false.

    With p sorted from high to low, the largest k with ``mean(1 - p[:k]) <= share``.

    Source: Newton et al. 2004, Biostatistics 5(2):155-176 (formula from memory).

    >>> expected_false_share([0.5, 0.99, 0.95], share=0.10)
    2
    """
    expected, count = 0.0, 0
    for k, p in enumerate(sorted(probabilities, reverse=True), start=1):
        expected += 1.0 - p
        if expected / k > share:
            break
        count = k
    return count


def not_judged(row: Mapping[str, Any]) -> dict[str, Any]:
    """A review's row about a subject that is not judged: no offset, and why.

    >>> made = not_judged({"instrument": "FS-01", "n": 90, "offset_c": 0.4})
    >>> made["n"], made["offset_c"], made["judged"]
    (90, None, False)
    """
    return {**row, **{name: None for name in OFFSET if name in row}, "judged": False, "reason": NOT_JUDGED}
