"""Reading the records of return demonstrations: which stand, what they replace, which try comes next."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from browline.competency import checklist as checklists
from browline.competency.attempts import NextTry, Past, next_try
from browline.competency.checklist import Checklist
from browline.competency.judging import OUTCOMES, SIGNED_OFF, judge
from browline.services.book.clock import local_day, ward_zone
from browline.services.materials import documents
from browline.store.models import ControlledDocument, Demonstration

WITHDRAWN = Demonstration.WITHDRAWN
OUTCOME_WORDS: dict[str, str] = {**OUTCOMES, WITHDRAWN: "withdrawn"}


def chain(demonstration: Demonstration) -> list[Demonstration]:
    """Every record of one demonstration, the first first; the last is the one that counts."""
    first = demonstration
    while first.amends is not None:
        first = first.amends
    links = [first]
    while (following := getattr(links[-1], "amended_by", None)) is not None:
        links.append(following)
    return links


def last_record(demonstration: Demonstration) -> Demonstration:
    """The record that counts for this demonstration."""
    return chain(demonstration)[-1]


def histories(
    people: Iterable[int] | None = None, *, before: datetime | None = None, besides: Sequence[int] = ()
) -> dict[int, list[Past]]:
    """What stands of each person, in order of time; all people where none are named."""
    records = Demonstration.objects.in_force().exclude(pk__in=besides)
    if people is not None:
        records = records.filter(person__in=people)
    if before is not None:
        records = records.filter(time__lt=before)
    # Read once: a record that comes in meanwhile may be of a version that nobody has looked up.
    rows, zone = list(records), ward_zone()
    versions = _versions({row.checklist_id for row in rows})
    past: dict[int, list[Past]] = {}
    for row in rows:
        again = _steps_again(versions[row.checklist_id], row)
        past.setdefault(row.person_id, []).append(Past(local_day(row.time, zone), row.outcome, again))
    return past


def next_tries(checklist: Checklist, today: date) -> dict[int, NextTry]:
    """The next try of everybody who has a record; anybody else is at the first."""
    return {person: next_try(past, checklist, today) for person, past in histories().items()}


def next_try_now(person: int, today: date) -> NextTry:
    """The next try of one person by the checklist in force."""
    checklist = checklists.read(documents.in_force("checklist", today).body)
    return next_try(histories([person]).get(person, []), checklist, today)


def _versions(numbers: Iterable[int]) -> dict[int, Checklist]:
    used = ControlledDocument.objects.filter(pk__in=numbers)
    return {version.pk: checklists.read(version.body) for version in used}


def _steps_again(checklist: Checklist, record: Demonstration) -> tuple[str, ...]:
    if record.outcome == SIGNED_OFF:
        return ()
    return tuple(step.name for step in judge(checklist.steps, record.steps).again)
