"""Where does a person stand on a day? From what was observed of them, and from nothing else.

The last observation decides: one in which a critical step was missed takes the standing away until another shows
the skill whole, and one in which it was whole holds for the months the checklist says. Having been at a session is
written down and never counts. A sign-off that came in with a list, without its steps, counts and is named as such.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from browline.competency.attempts import renewed_until
from browline.competency.judging import SIGNED_OFF


class Stands(StrEnum):
    """Where somebody stands. Every one is an answer."""

    SIGNED_OFF = "signed-off"
    DUE_SOON = "due-soon"
    OVERDUE = "overdue"
    NOT_YET = "not-yet"
    NEVER = "never-observed"

    @property
    def current(self) -> bool:
        """Whether the sign-off holds today."""
        return self in (Stands.SIGNED_OFF, Stands.DUE_SOON)

    @property
    def sentence(self) -> str:
        """What it means and what to do."""
        return {
            "signed-off": "Signed off: every critical step was seen done, and the sign-off still holds.",
            "due-soon": "Signed off, and the next observation is due soon. Book it now.",
            "overdue": "The sign-off has ended. Offer an observation.",
            "not-yet": "Not yet: a critical step was not seen done at the last observation. Offer another one.",
            "never-observed": "Never observed. Offer an observed return demonstration.",
        }[self.value]


@dataclass(frozen=True)
class Observed:
    """One observation as it stands after every amendment.

    `outcome` is ``signed-off`` or ``not-yet``; `steps` is false for one brought in by a record that names none;
    `missed` are the critical steps not seen done.
    """

    day: date
    outcome: str
    steps: bool = True
    missed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Rule:
    """How long a sign-off holds (months, 1 or more), and how many days before its end it is due soon."""

    months: int = 12
    soon_days: int = 60

    def __post_init__(self) -> None:
        if self.months < 1 or self.soon_days < 0:
            raise ValueError(f"a sign-off of {self.months} months, due {self.soon_days} days before, is none")


@dataclass(frozen=True)
class Standing:
    """Where a person stands, on what it rests, and until when; `until` is the last day on which it holds.

    `last` is the observation that decided; `attended` the last session they were at, which decides nothing.
    """

    stands: Stands
    until: date | None = None
    last: Observed | None = None
    attended: date | None = None

    @property
    def current(self) -> bool:
        """Whether the sign-off holds."""
        return self.stands.current


def standing(
    observed: Sequence[Observed], rule: Rule, today: date, attended: Sequence[date] = ()
) -> Standing:
    """Where a person stands on `today`; what comes later than that day is left out.

    Of two observations on one day the one with its steps decides, then the later in `observed`.

    >>> standing([Observed(date(2026, 3, 7), "signed-off")], Rule(months=12), date(2026, 6, 1)).until
    datetime.date(2027, 3, 7)
    >>> standing([], Rule(), date(2026, 6, 1), attended=[date(2026, 3, 7)]).stands.value
    'never-observed'
    """
    known = sorted((o for o in observed if o.day <= today), key=lambda o: (o.day, o.steps))
    came = max((day for day in attended if day <= today), default=None)
    if not known:
        return Standing(Stands.NEVER, attended=came)
    last = known[-1]
    if last.outcome != SIGNED_OFF:
        return Standing(Stands.NOT_YET, None, last, came)
    until = renewed_until(last.day, rule.months)
    return Standing(_while_it_lasts(until, rule, today), until, last, came)


def _while_it_lasts(until: date, rule: Rule, today: date) -> Stands:
    if until < today:
        return Stands.OVERDUE
    return Stands.DUE_SOON if until - today <= timedelta(days=rule.soon_days) else Stands.SIGNED_OFF
