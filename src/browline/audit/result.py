"""What the audit says: one signal for each test and subject, each with one of four outcomes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from browline.findings import AUDITED

TESTS: dict[str, str] = {test: kind.title for test, kind in AUDITED.items()}


class Outcome(StrEnum):
    """How a test ended. Every one is an answer."""

    SEEN = "seen"
    NOT_SEEN = "not-seen"
    TOO_FEW = "too-few"
    NOT_ASKED = "not-asked"

    @property
    def sentence(self) -> str:
        """The outcome in a sentence, with what to do."""
        return {
            "seen": "Seen: more than chance and honest habits would give. Ask the ward why, innocent causes first.",
            "not-seen": "Not seen, and a share of the size stated would have been.",
            "too-few": "Too few readings to tell: absence of a sign means nothing here. Ask again with more months.",
            "not-asked": "Not asked: the charts do not hold the column that this test needs.",
        }[self.value]


@dataclass(frozen=True)
class Signal:
    """One test of one ward (or instrument).

    - `test`: one of `TESTS`. `n`: readings, pairs or times it rests on.
    - `effect`, `low`, `high`: the share in excess (or the share itself, see the test) with its 95 % interval.
    - `observed`, `expected`: shares of n as charted and under honest reading; None where there is no expectation.
    - `p`: chance of so much under honest reading; None where nothing was tested. `least`: the smallest share
      seen 8 times in 10 at this n. `label`: the value, line or unit it is about, as charted.
    - `turned`: first day of the week in which the share took a step, from `before` to `after`; None where it did not.
    - `denominator`: what `n` counts. `parts`: further counts by name. `also`: other values found.
    """

    test: str
    subject_type: str
    subject_id: str
    n: int
    outcome: Outcome
    effect: float | None = None
    low: float | None = None
    high: float | None = None
    observed: float | None = None
    expected: float | None = None
    p: float | None = None
    least: float | None = None
    label: str = ""
    denominator: str = "readings"
    turned: date | None = None
    before: float | None = None
    after: float | None = None
    parts: Mapping[str, float] = field(default_factory=dict)
    also: tuple[str, ...] = ()

    @property
    def since(self) -> date | None:
        """First day of it, where it began within the charts."""
        began = self.before is not None and self.after is not None and self.after > self.before
        return self.turned if began else None

    def __post_init__(self) -> None:
        if self.test not in TESTS:
            raise ValueError(f"{self.test!r} is not one of the tests")


@dataclass(frozen=True)
class Audit:
    """The result: every signal, and for each reading the chance that it was measured.

    - `signals`: by test, then by subject. `measured`: float32[n] in [0, 1], aligned with the readings: 1 where
      nothing speaks against it, else the honest part of the excess it stands in.
    """

    signals: tuple[Signal, ...]
    measured: NDArray[np.float32]

    def for_subject(self, subject_type: str, subject_id: str) -> tuple[Signal, ...]:
        """The signals of one subject."""
        return tuple(s for s in self.signals if (s.subject_type, s.subject_id) == (subject_type, subject_id))

    @property
    def flagged(self) -> tuple[Signal, ...]:
        """The signals worth a word."""
        return tuple(s for s in self.signals if s.outcome is Outcome.SEEN)
