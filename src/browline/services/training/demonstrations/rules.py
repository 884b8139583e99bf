"""What must hold before a return demonstration is kept, each told in words where it does not.

Days are those of the hospital's clock (the zone chosen for the book), so that a night has the date the ward gives it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from browline import display
from browline.competency import checklist as checklists
from browline.competency.attempts import NextTry, next_try
from browline.competency.checklist import Checklist
from browline.competency.judging import Judgement, judge, whole
from browline.errors import InputRefused, NotUnderstood
from browline.services.book.clock import local_day
from browline.services.training.demonstrations.observation import Observation
from browline.services.training.demonstrations.reading import histories
from browline.store.models import AssessorStanding, ControlledDocument, Person
from browline.store.models.rows import lasting

METHODS: dict[str, str] = {"patient": "on a patient", "simulated": "simulated"}
# A phone's clock may be a little ahead of ours.
AHEAD = timedelta(minutes=5)


@dataclass(frozen=True)
class Judged:
    """The marks of every step, what they come to, and which try it was."""

    marks: dict[str, str]
    judgement: Judgement
    attempt: int


def judged(observation: Observation, now: datetime, *, besides: tuple[int, ...] = ()) -> Judged:
    """Ask every rule of an observation and judge it; `besides` are records that it replaces.

    Raises a `Refusal` naming the first rule that is not met. Call inside the transaction that writes.
    """
    day = local_day(observation.time)
    _refuse_future(observation.time, now)
    _refuse_unknown(observation)
    _refuse_same_people(observation)
    for assessor in filter(None, (observation.assessor, observation.second)):
        refuse_unless_entitled(assessor, day)
    checklist = find_checklist(observation.checklist)
    marks = whole(checklist.steps, observation.steps)
    judgement = judge(checklist.steps, observation.steps)
    turn = following(observation.person, observation.time, checklist, besides)
    refuse_wrong_turn(turn, day, observation.second)
    return Judged(marks, judgement, turn.number)


def find_checklist(number: int) -> Checklist:
    """The checklist of one version, by the number of its document."""
    document = ControlledDocument.objects.filter(pk=number, kind="checklist").first()
    if document is None:
        raise NotUnderstood(
            "The record names a version of the checklist that is not in this book.",
            "Marks mean something only beside their version.",
            "Open the page again, so that it holds the version in force.",
        )
    return checklists.read(document.body)


def all_marks(checklist: int, steps: Mapping[str, str]) -> dict[str, str]:
    """The marks of every step of a version, those left out as not seen."""
    return whole(find_checklist(checklist).steps, steps)


def entitlement(person: int, day: date) -> AssessorStanding | None:
    """What entitled a person to assess on a day, or None; whoever has left is entitled no longer."""
    return AssessorStanding.objects.on(day).filter(lasting(day, "person__"), person=person).first()


def refuse_unless_entitled(person: int, day: date) -> None:
    """Refuse an assessor who was not entitled on that day."""
    if entitlement(person, day) is None:
        raise InputRefused(
            f"{Person.objects.get(pk=person).shown} is not entered as an assessor on {display.day(day)}.",
            "Whoever signs somebody off has to be entitled on that day.",
            "If it is only missing here, enter it under Assessors and take the record then.",
        )


def _refuse_future(time: datetime, now: datetime) -> None:
    if time > now + AHEAD:
        raise InputRefused(
            f"It is said to have been seen on {display.day(time)} at {display.time_of_day(time)},"
            " which is still to come.",
            "A demonstration is recorded after it was seen.",
            "The clock of the phone may be wrong: enter the time it was seen, and take it.",
        )


def _refuse_unknown(observation: Observation) -> None:
    people = {n for n in (observation.person, observation.assessor, observation.second) if n is not None}
    # Locked, so that two phones cannot both record somebody's first try.
    known = set(Person.objects.select_for_update().filter(pk__in=people).values_list("pk", flat=True))
    if people - known:
        raise InputRefused(
            "Somebody in this record is not in the book.",
            "A record names people of the staff list.",
            "Put them on the staff list, and say here who it was.",
        )
    if observation.method not in METHODS:
        raise NotUnderstood(
            f"The method is {observation.method!r}.", f"Known are {', '.join(METHODS)}.", "Choose one."
        )


def _refuse_same_people(observation: Observation) -> None:
    if observation.person in (observation.assessor, observation.second):
        raise InputRefused(
            "The person observed and an assessor are the same.",
            "Nobody signs themselves off.",
            "Ask another assessor, or say who observed.",
        )
    if observation.assessor == observation.second:
        raise InputRefused(
            "Both assessors are the same person.", "A second assessor is somebody else.", "Say who it was."
        )


def following(person: int, time: datetime, checklist: Checklist, besides: tuple[int, ...]) -> NextTry:
    """Which try a record of this time is, by what stands before it in the book."""
    past = histories([person], before=time, besides=besides)
    return next_try(past.get(person, []), checklist, local_day(time))


def refuse_wrong_turn(turn: NextTry, day: date, second: int | None) -> None:
    """Refuse a try on a day that is too early, and the last one without a second assessor."""
    _refuse_too_soon(turn, day)
    _refuse_without_second(turn, second)


def _refuse_too_soon(following: NextTry, day: date) -> None:
    if following.earliest is not None and not following.open_today:
        raise InputRefused(
            f"This would be try {following.number} on {display.day(day)}.",
            f"After a not-yet the next try is on {display.day(following.earliest)} or later.",
            "Practise together now, and observe again from that day on. If the day is wrong, enter the right one.",
        )


def _refuse_without_second(following: NextTry, second: int | None) -> None:
    if following.second_needed and second is None:
        raise InputRefused(
            f"This is try {following.number}, and only one assessor is named.",
            "At the last try two assessors watch together.",
            "If a second assessor was there, say who; else observe again with two.",
        )
