"""The log of questioned readings: a line entered after the event, a line taken back, the lines that stand.

    log(line, actor=..., today=...) -> Logged          take_back(number, reason, actor=...)

Nothing that names a patient is taken: words from closed lists, values, the week and the part of the day. The book's
account of deeds says that a line was entered and by whom, but not which.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from django.db import IntegrityError
from django.db.models import QuerySet

from browline.errors import InputRefused
from browline.instruments.questioned import TAKEN_BACK
from browline.services.questioned.line import WEEKS_BACK, Line, check, one_of
from browline.services.training.roster import known_wards
from browline.store.event_log import recorded
from browline.store.models import Instrument, QuestionedReading, QuestionedTakenBack
from browline.weeks import monday_of


@dataclass(frozen=True)
class Logged:
    """The line in the book, and whether it is new or was here already."""

    line: QuestionedReading
    new: bool


def log(line: Line, *, actor: str, today: date) -> Logged:
    """Keep a line; the same form sent again adds nothing."""
    check(line, today, instruments(today), wards())
    told = {name: getattr(line, name) for name in ("key", "week", "part", "ward", "age", "accepted", "cause")}
    values = [vars(value) for value in line.values]
    try:
        # Which line it was is not said: the moment of a deed is exact, that of a line is not.
        with recorded(actor, "questioned-logged"):
            made = QuestionedReading.objects.create(
                **told, values=values, others=list(line.others), done=list(line.done), actor=actor
            )
    except IntegrityError:
        return Logged(_same(QuestionedReading.objects.get(key=line.key), told, values), new=False)
    return Logged(made, new=True)


def _same(
    here: QuestionedReading, told: dict[str, object], values: list[dict[str, object]]
) -> QuestionedReading:
    """The line of that form; refused where the form now says something else."""
    if here.values != values or any(getattr(here, name) != given for name, given in told.items()):
        raise InputRefused(
            "This form was sent before, and now says something else.",
            "A line that stands is not written over.",
            "Take the line back in the list, then enter it anew.",
        )
    return here


def take_back(number: int, reason: str, *, actor: str, own_only: bool) -> QuestionedTakenBack:
    """Say that a line should not count; it stays to be read. With `own_only`, only whoever entered it may.

    Refused where it is not in the book, was taken back already, or is another's.
    """
    one_of(reason, TAKEN_BACK, "a reason to take a line back")
    line = QuestionedReading.objects.filter(pk=number, **({"actor": actor} if own_only else {})).first()
    if line is None:
        raise InputRefused(
            "This line is not among yours.", "You can take back what you entered.", "Ask the educator."
        )
    try:
        with recorded(actor, "questioned-taken-back", data={"reason": reason}):
            taken: QuestionedTakenBack = QuestionedTakenBack.objects.create(
                line=line, reason=reason, actor=actor
            )
            return taken
    except IntegrityError as fault:
        raise InputRefused(
            "This line was taken back already.", "A line is taken back once.", "Nothing is left to do."
        ) from fault


def standing_lines(since: date | None = None) -> QuerySet[QuestionedReading]:
    """The lines that count, in order of their weeks; from the week of `since` on where it is given."""
    lines: QuerySet[QuestionedReading] = QuestionedReading.objects.filter(taken_back=None)
    return lines.filter(week__gte=monday_of(since)) if since else lines


def wards() -> list[str]:
    """The wards that a line may name."""
    return sorted(known_wards())


def instruments(today: date) -> list[str]:
    """The instruments that a line may name: those of the register, retired ones for half a year more."""
    serving = Instrument.objects.listed().lasting(today - timedelta(weeks=WEEKS_BACK))
    return list(serving.values_list("name", flat=True))
