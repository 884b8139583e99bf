"""Who may assess, from which day to which, and on what ground."""

from datetime import date

from django.db.models import Q

from browline.errors import InputRefused, NotUnderstood
from browline.services.book.clock import local_day
from browline.services.training.demonstrations.rules import entitlement
from browline.store.event_log import recorded
from browline.store.models import AssessorStanding, Demonstration, Person


def entitle(
    person: int, *, start: date, end: date | None, qualification: str, actor: str
) -> AssessorStanding:
    """Enter that a person may assess from `start` to `end` (None: until further notice), and on what ground."""
    if not qualification.strip():
        raise NotUnderstood(
            "No ground was given.",
            "Who reads a record asks what entitled its assessor.",
            "Name the education or experience that makes them fit to assess this skill.",
        )
    if end is not None and end < start:
        raise NotUnderstood(
            "It would end before it begins.", "It ends on its first day or later.", "Mend it."
        )
    with recorded(actor, "assessor", person, {"start": str(start), "end": str(end) if end else None}):
        return AssessorStanding.objects.create(
            person_id=person, start=start, end=end, qualification=qualification.strip()[:200], actor=actor
        )


def close(number: int, last_day: date, *, actor: str) -> int:
    """End an entitlement on `last_day`; returns how many records that stand are left without one by it."""
    with recorded(actor, "assessor-closed", number, {"end": str(last_day)}):
        rows = AssessorStanding.objects.lasting_beyond(last_day).filter(pk=number, start__lte=last_day)
        if rows.update(end=last_day) != 1:
            raise InputRefused(
                "This entitlement had ended by then, or had not begun.",
                "An end is moved forward only, to its first day or later.",
                "Look at the list again.",
            )
        return len(uncovered(AssessorStanding.objects.get(pk=number).person_id))


def uncovered(person: int) -> list[Demonstration]:
    """The records that stand in which this person assessed on a day without being entitled."""
    theirs = Demonstration.objects.in_force().filter(Q(assessor=person) | Q(second=person))
    return [row for row in theirs if entitlement(person, local_day(row.time)) is None]


def entitled_on(day: date) -> list[Person]:
    """The people who may assess on a day, by name; whoever has left may not."""
    covering = AssessorStanding.objects.on(day)
    people = Person.objects.lasting(day).filter(pk__in=covering.values("person"))
    return sorted(people, key=lambda person: person.shown.casefold())


def may_see_names(person: int | None, day: date) -> bool:
    """Whether the holder of an assessor's pass may read the staff list and who is on duty: only while entitled."""
    return person is not None and entitlement(person, day) is not None
