"""Teaching in the invented hospital: assessors entitled, demonstrations recorded, some scored twice.

All of it goes through the same duties as hers would, so what a rule refuses is refused here too.
"""

from datetime import date, datetime, timedelta
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from browline.competency.checklist import read
from browline.services.book.clock import local_day
from browline.services.materials.documents import stored
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
    checklist = stored("checklist", today)
    steps = read(checklist.body).steps
    people = _numbers(house.people)
    away(people[house.people.educator], "no-patients", today - timedelta(weeks=52), None, actor=ACTOR)
    _entitle([people[k] for k in assessors(house.people, seed)], today - timedelta(weeks=26))
    ids = [step.id for step in steps]
    observations = observed(
        house.people, ids, [step.id for step in steps if step.critical], _yesterday(today), seed=seed
    )
    for attempt in observations:
        _record(attempt, people, house, checklist.pk, now)
    return len(observations)


def _yesterday(today: date) -> date:
    return today - timedelta(days=1)


def _numbers(people: People) -> list[int]:
    """The book's number of each invented person."""
    known = dict(Person.objects.values_list("identifier", "pk"))
    return [known[str(identifier)] for identifier in people.id]


def _entitle(people: list[int], start: date) -> None:
    assessors_already = set(AssessorStanding.objects.values_list("person", flat=True))
    for person in people:
        if person not in assessors_already:
            entitle(person, start=start, end=None, qualification=QUALIFICATION, actor=ACTOR)


def _record(attempt: ObservedAttempt, people: list[int], house: House, checklist: int, now: datetime) -> None:
    key = uuid5(NAMESPACE, f"{house.people.id[attempt.person]} {attempt.time}")
    observation = Observation(
        key=key,
        person=people[attempt.person],
        assessor=people[attempt.assessor],
        second=None if attempt.second is None else people[attempt.second],
        checklist=checklist,
        time=attempt.time.replace(tzinfo=ZoneInfo(house.clock.zone)),
        steps=attempt.marks,
        method="patient",
        ward=str(house.wards.name[house.people.ward[attempt.person]]),
    )
    recorded = record(observation, actor=ACTOR, now=now)
    if attempt.scores is not None and attempt.again is not None:
        again = people[attempt.again]
        second_score(recorded.demonstration, again, attempt.scores, key=uuid5(key, "again"), actor=ACTOR)
