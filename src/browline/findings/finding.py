"""A finding: one thing that cannot be trusted, how sure, since when, why, and what to do about it.

Rooms make findings; the store keeps them across reviews; the doors show them. The words of a finding are
written where it is made, so that page, paper and terminal say the same.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from browline.findings.catalogue import KINDS
from browline.findings.cause import Cause

NOT_JUDGED = "not judged yet: technique and instrument are not told apart here"
TAKEN_BACK = (
    "Withdrawn: most of its readings are by mouth or in the armpit, and there technique and instrument are not told"
    " apart yet; flags made there were false. This does not say that it reads right: a check against a reference tells."
)
# What a review's row says of how far its subject reads off: null where it is not judged.
OFFSET = (
    "offset_c", "low_c", "high_c", "probability_beyond", "drift_c_per_day", "drift_low", "drift_high", "since",
)  # fmt: skip


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
