"""Which try is next: its number, from when, whether a second assessor has to be there, what to practise first.

Tries are counted from the last sign-off. After a not-yet the next is on another day, and at the last try of the
local rule two assessors watch. That rule is common practice in schools of nursing, not a standard, so its numbers
stand in the checklist's head.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import MAXYEAR, date, timedelta

from browline.competency.checklist import Checklist
from browline.competency.judging import SIGNED_OFF


@dataclass(frozen=True)
class Past:
    """One demonstration as it stands: its day, what came of it, the short names of the critical steps left."""

    day: date
    outcome: str
    again: tuple[str, ...] = ()


@dataclass(frozen=True)
class NextTry:
    """The next try: `earliest` is None where any day will do; `last`: two assessors; `beyond`: after the last."""

    number: int
    earliest: date | None
    open_today: bool
    second_needed: bool
    beyond: bool
    again: tuple[str, ...]


def next_try(history: Sequence[Past], checklist: Checklist, today: date) -> NextTry:
    """The try that would follow `history` (in order of time) on the day `today`.

    number = 1 + not-yets since the last sign-off; earliest = last not-yet + days between; second if number >= tries.
    """
    since = _since_sign_off(history)
    number = len(since) + 1
    last = since[-1] if since else None
    earliest = last.day + timedelta(days=checklist.days_between) if last else None
    return NextTry(
        number=number,
        earliest=earliest,
        open_today=earliest is None or today >= earliest,
        second_needed=number >= checklist.tries,
        beyond=number > checklist.tries,
        again=last.again if last else (),
    )


def renewed_until(signed_off: date, months: int) -> date:
    """The last day that a sign-off holds: so many months later, on the same day or the month's last.

    Beyond the calendar's end it is the calendar's last day.

    >>> renewed_until(date(2026, 1, 31), 1)
    datetime.date(2026, 2, 28)
    """
    year, month = divmod(signed_off.year * 12 + signed_off.month - 1 + months, 12)
    if (year, month) >= (MAXYEAR, 11):
        return date.max
    next_month = date(year + (month == 11), (month + 1) % 12 + 1, 1)
    return min(date(year, month + 1, 1) + timedelta(days=signed_off.day - 1), next_month - timedelta(days=1))


def _since_sign_off(history: Sequence[Past]) -> list[Past]:
    since: list[Past] = []
    for past in history:
        since = [] if past.outcome == SIGNED_OFF else [*since, past]
    return since
