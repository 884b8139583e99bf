"""Teaching in the invented hospital: assessors entitled, demonstrations recorded, some scored twice.

All of it goes through the same duties as hers would, so what a rule refuses is refused here too.
"""

from datetime import date, datetime, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from browline.competency.checklist import read
from browline.services.book.clock import local_day
from browline.services.materials.documents import kept
from browline.services.training.demonstrations import Observation, record
from browline.services.training.demonstrations.assessors import entitle
from browline.services.training.demonstrations.second_scores import second_score
from browline.services.training.staff import away
from browline.store.models import AssessorStanding, Demonstration, Person
from browline.synthetic.observed import ObservedAttempt, assessors, observed
from browline.synthetic.people import People
from browline.synthetic.reading import House

ACTOR = "demonstration"
NAMESPACE = UUID("5f0e6c1e-7a55-4d0a-9a63-1f6e35b0c7d2")
QUALIFICATION = "Registered nurse; observed by the educator with this checklist (invented)"


def teach(house: House, now: datetime, *, seed: int) -> int:
    """Record what was observed in the weeks up to `now`, unless that was done before; returns how many records."""
    if Demonstration.objects.exists():
        return 0

    today = local_day(now)
    checklist = kept("checklist", today)
    steps = read(checklist.body).steps
    people = _numbers(house.people)
    away(people[house.people.educator], "no-patients", today - timedelta(weeks=52), None, actor=ACTOR)
    _entitle([people[k] for k in assessors(house.people, seed)], today - timedelta(weeks=26))
    ids = [step.id for step in steps]
    seen = observed(
        house.people, ids, [step.id for step in steps if step.critical], _yesterday(today), seed=seed
    )
    for one in seen:
        _record(one, people, house, checklist.pk, now)
    return len(seen)


def _yesterday(today: date) -> date:
    return today - timedelta(days=1)


def _numbers(people: People) -> list[int]:
    """The book's number of each invented person."""
    known = dict(Person.objects.values_list("identifier", "pk"))
    return [known[str(identifier)] for identifier in people.id]


def _entitle(people: list[int], start: date) -> None:
    held = set(AssessorStanding.objects.values_list("person", flat=True))
    for person in people:
        if person not in held:
            entitle(person, start=start, end=None, qualification=QUALIFICATION, actor=ACTOR)


def _record(one: ObservedAttempt, people: list[int], house: House, checklist: int, now: datetime) -> None:
    key = uuid5(NAMESPACE, f"{house.people.id[one.person]} {one.time}")
    observation = Observation(
        key=key,
        person=people[one.person],
        assessor=people[one.assessor],
        second=None if one.second is None else people[one.second],
        checklist=checklist,
        time=one.time.replace(tzinfo=ZoneInfo(house.clock.zone)),
        steps=one.marks,
        method="patient",
        ward=str(house.wards.name[house.people.ward[one.person]]),
    )
    recorded = record(observation, actor=ACTOR, now=now)
    if one.scores is not None and one.again is not None:
        again = people[one.again]
        second_score(recorded.demonstration, again, one.scores, key=uuid5(key, "again"), actor=ACTOR)
