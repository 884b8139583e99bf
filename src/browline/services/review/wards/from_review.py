"""The wards in a review's supplement, read back into named fields."""

import re
from dataclasses import dataclass
from datetime import date

from browline.audit import NOT_SAID, Outcome
from browline.display import FEWEST
from browline.documents.audit import AuditWard, AuditWeek
from browline.documents.supplement import EventRow, Supplement
from browline.services.review.wards.answers import Answer, read_answers
from browline.store.models import Review

PATIENTS = 10


@dataclass(frozen=True)
class Week:
    """One week of a ward: its Monday, readings, and those without a site.

    `favourite`: readings at the favoured value, of `favourite_of` charted in its unit; None where none is favoured.
    """

    week: date
    n: int
    favourite: int | None
    favourite_of: int | None
    site_missing: int


@dataclass(frozen=True)
class Ward:
    """One ward. `unlikely`: share of its readings unlikely to have been measured, in [0, 1].

    `instruments`: of the ward, where `from_register`, else different ones charted in a usual week; `patients`: read on
    a usual day; None where not said. `favourite`: the value charted far too often, as "36.0 °C", or None.
    """

    name: str
    care: str | None
    n: int
    unlikely: float
    instruments: float | None
    from_register: bool
    patients: float | None
    favourite: str | None
    answers: tuple[Answer, ...]
    weeks: tuple[Week, ...]

    @property
    def said(self) -> bool:
        """Whether the charts say this ward; else these are the readings without one."""
        return self.name != NOT_SAID

    @property
    def few(self) -> bool:
        """Whether there are so few readings that its numbers are withheld."""
        return self.n < FEWEST

    @property
    def per_ten(self) -> float | None:
        """Instruments at hand for ten patients, or None where the charts do not say, or too few to tell."""
        if self.few or not self.instruments or not self.patients:
            return None
        return PATIENTS * self.instruments / self.patients

    def answer(self, test: str) -> Answer | None:
        """The answer of one test; None where it was not put to this ward."""
        return next((a for a in self.answers if a.test == test), None)

    @property
    def site_missing(self) -> int:
        """Readings without a site that can be told."""
        return sum(week.site_missing for week in self.weeks)

    def that(self, outcome: Outcome) -> tuple[Answer, ...]:
        """The answers that ended so."""
        return tuple(a for a in self.answers if a.outcome is outcome)

    @property
    def seen(self) -> tuple[Answer, ...]:
        """What there is to ask about."""
        return self.that(Outcome.SEEN)


def wards(review: Review | None) -> tuple[Ward, ...]:
    """Every ward of the review by name; none without a review, or in one made before there was an audit."""
    return wards_in(review.document.supplement) if review else ()


def wards_in(supplement: Supplement) -> tuple[Ward, ...]:
    """Every ward of a review's supplement by name."""
    rows = [_ward(w) for w in (supplement.audit.wards if supplement.audit else ())]
    return tuple(sorted(rows, key=lambda w: (w.name == NOT_SAID, _by_name(w.name))))


def ward(review: Review | None, name: str) -> Ward | None:
    """One ward, or None where the review does not know it."""
    return next((_ward(w) for w in _wards(review) if w.ward == name), None)


def names(review: Review | None) -> frozenset[str]:
    """The wards that the review knows."""
    return frozenset(w.ward for w in _wards(review))


def _wards(review: Review | None) -> tuple[AuditWard, ...]:
    audit = review.document.supplement.audit if review else None
    return audit.wards if audit else ()


def _by_name(name: str) -> list[tuple[bool, int, str]]:
    """Ward 9 before Ward 10."""
    parts = re.split(r"(\d+)", name.casefold())
    return [(part.isdigit(), int(part) if part.isdigit() else 0, part) for part in parts]


def _ward(w: AuditWard) -> Ward:
    return Ward(
        name=w.ward,
        care=w.care,
        n=w.n,
        unlikely=w.unlikely,
        instruments=w.instruments,
        from_register=w.instruments_from == "register",
        patients=w.patients,
        favourite=w.favourite,
        answers=read_answers(w.signals, w.ward),
        weeks=tuple(_week(k) for k in w.weeks),
    )


def _week(k: AuditWeek) -> Week:
    return Week(
        week=date.fromisoformat(k.week),
        n=k.n,
        favourite=k.favourite,
        favourite_of=k.favourite_of,
        site_missing=k.site_missing,
    )


def dated_events(review: Review | None, name: str) -> list[EventRow]:
    """Dated events of the ward and of the whole hospital, by day."""
    events = review.document.supplement.events if review else ()
    return sorted((e for e in events if e.ward in ("", None, name)), key=lambda e: e.date)
