"""Did training work? The rules that turn the primary measure into one of four answers.

1. Without contemporaries not yet signed off: cannot tell.
2. Interval clear of 0, and with fewer than 12 wards a permutation of the roll-out agrees (p <= 0.05): changed, as
   hoped or the wrong way.
3. The whole interval within ± 0.1 °C: no change seen.
4. Otherwise: cannot tell.
"""

from dataclasses import dataclass
from enum import StrEnum

from browline import display
from browline.variation.training.level import Level
from browline.variation.training.measures import Measure
from browline.variation.training.permutation import Orders

FEW_WARDS, CHANCE, MATTERS_C = 12, 0.05, 0.1
COMPARATOR = "readings of the same months charted by people not yet signed off"


class Verdict(StrEnum):
    """What the charts say of the teaching."""

    AS_HOPED = "changed-as-hoped"
    NO_CHANGE = "no-change-seen"
    WRONG_WAY = "changed-the-wrong-way"
    CANNOT_TELL = "cannot-tell"

    @property
    def sentence(self) -> str:
        """The verdict in a sentence."""
        return _SENTENCES[self]

    @property
    def advice(self) -> str:
        """What to do next."""
        return _ADVICE[self]


class Hoped(StrEnum):
    """Which way readings should move. Technique faults mostly pull a forehead reading down, so `UP` unless set."""

    UP = "up"
    DOWN = "down"

    @property
    def sign(self) -> int:
        """1 for up, -1 for down."""
        return 1 if self is Hoped.UP else -1

    @property
    def sentence(self) -> str:
        """The direction hoped for, as it is printed."""
        return f"Hoped for, and said beforehand: readings charted after sign-off lie {_MOVED[self.sign]}."


BESIDE = (
    "Staff signed off first are not a random sample: they may differ from those signed off later.",
    "Charts show practice, not accuracy: they cannot say which reading was right.",
    "Confirm with blinded re-reads: a second person who does not know the first value scans again.",
)
"""Printed beside every verdict."""


@dataclass(frozen=True)
class Evidence:
    """What the verdict rests on.

    - `level`: the primary measure, None where it could not be estimated. `orders`: the permutation test, None
      where it was not made.
    - `compared_months` of `months` in which people signed off and people not yet signed off both charted.
    - `wards` that charted at sites the scan acts on; `people_signed_off` among those who charted.
    """

    level: Level | None
    orders: Orders | None
    compared_months: int
    months: int
    wards: int
    people_signed_off: int
    hoped: Hoped = Hoped.UP


@dataclass(frozen=True)
class Training:
    """The answer. Effect and 95 % interval in °C, positive = readings after sign-off lie higher; None: not told.

    `measures`: secondary, none of them decides. `sentence` says the verdict with its figures; `why` what it rests on
    and what else could explain it.
    """

    verdict: Verdict
    effect_c: float | None
    low_c: float | None
    high_c: float | None
    comparator: str
    wards: int
    people_signed_off: int
    permutation_p: float | None
    measures: tuple[Measure, ...]
    sentence: str
    why: tuple[str, ...]
    beside: tuple[str, ...] = BESIDE


def judged(evidence: Evidence, measures: tuple[Measure, ...] = ()) -> Training:
    """The verdict on `evidence`, with the secondary `measures` printed beside it."""
    verdict, level = verdict_on(evidence), _usable_level(evidence)
    return Training(
        verdict=verdict,
        effect_c=level.effect_c if level else None,
        low_c=level.low_c if level else None,
        high_c=level.high_c if level else None,
        comparator=COMPARATOR,
        wards=evidence.wards,
        people_signed_off=evidence.people_signed_off,
        permutation_p=evidence.orders.p if evidence.orders else None,
        measures=measures,
        sentence=_sentence(verdict, level),
        why=_why(evidence),
    )


def verdict_on(evidence: Evidence) -> Verdict:
    """The rules above, in their order."""
    level = _usable_level(evidence)
    if level is None:
        return Verdict.CANNOT_TELL
    clear = level.low_c > 0 or level.high_c < 0
    if clear and (evidence.wards >= FEW_WARDS or _order_agrees(evidence.orders)):
        return Verdict.AS_HOPED if level.effect_c * evidence.hoped.sign > 0 else Verdict.WRONG_WAY
    if level.low_c >= -MATTERS_C and level.high_c <= MATTERS_C:
        return Verdict.NO_CHANGE
    return Verdict.CANNOT_TELL


def _usable_level(evidence: Evidence) -> Level | None:
    """The primary measure where there is anybody to compare with and its fit settled."""
    level = evidence.level
    return level if level is not None and level.usable and evidence.compared_months else None


def _order_agrees(orders: Orders | None) -> bool:
    return orders is not None and orders.p is not None and orders.p <= CHANCE


def _sentence(verdict: Verdict, level: Level | None) -> str:
    if level is None:
        return verdict.sentence
    moved = _MOVED[1 if level.effect_c >= 0 else -1]
    return (
        f"{verdict.sentence} Readings charted after sign-off lie"
        f" {display.decimal(abs(level.effect_c), 2)} °C {moved} than {COMPARATOR}"
        f" (95 % interval {display.span(level.low_c, level.high_c)})."
    )


def _why(evidence: Evidence) -> tuple[str, ...]:
    return (
        evidence.hoped.sentence,
        f"Compared: {evidence.people_signed_off} people signed off, {_counted(evidence.wards, 'ward')};"
        f" {_counted(evidence.compared_months, 'month')} of {evidence.months} in which people signed off and people not"
        " yet signed off both charted.",
        _ward_order(evidence),
        "What else could explain it: whatever began in a ward on the day its teaching did, such as new instruments or"
        " other patients.",
    )


def _ward_order(evidence: Evidence) -> str:
    """What the permutation of the roll-out says, or why it was not asked."""
    orders = evidence.orders
    if evidence.wards >= FEW_WARDS:
        return f"With {evidence.wards} wards the interval is enough; the order of the wards was not put to the test."
    if orders is None:
        return "The order of the wards was not put to the test, and with fewer than 12 wards a change needs that."
    if orders.p is None:
        return (
            f"Only {orders.orders} orders of these wards differ, too few for any test of the order, so no change can"
            " be called proved."
        )
    share = display.share(orders.p) if orders.p >= 0.001 else "fewer than 1 in 1,000"
    return (
        f"Had the wards started in another order, a difference as large would have come up in {share} of"
        f" {display.number(orders.tried)} orders; with fewer than 12 wards a change needs 5 % or less."
    )


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


_MOVED = {1: "higher", -1: "lower"}
_SENTENCES = {
    Verdict.AS_HOPED: "Practice changed as hoped.",
    Verdict.NO_CHANGE: "No change seen: if there is one, it is smaller than 0.1 °C.",
    Verdict.WRONG_WAY: "Practice changed the wrong way.",
    Verdict.CANNOT_TELL: "These charts cannot tell whether training changed the readings.",
}
_ADVICE = {
    Verdict.AS_HOPED: "Keep teaching as you do, and confirm with blinded re-reads before saying so outside.",
    Verdict.NO_CHANGE: (
        "Look for causes that teaching does not reach, such as lens, patient flow or time, before teaching it again."
    ),
    Verdict.WRONG_WAY: (
        "Watch three scans on the wards signed off last and go through the steps taught; confirm with blinded re-reads"
        " before changing the lesson."
    ),
    Verdict.CANNOT_TELL: (
        "Let wards that are still to come start at different times, keep some not yet signed off in every month, and"
        " ask again; the planner says how many months that takes."
    ),
}
