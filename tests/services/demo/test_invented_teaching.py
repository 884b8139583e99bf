"""Teaching in the invented hospital goes through the same duties, so its records keep the same rules."""

from datetime import UTC, datetime

import pytest

from browline.services.demo.teaching import teach
from browline.synthetic import invent

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture
def house(book):
    from browline.store.models import Person

    house = invent(3000, seed=2).house
    Person.objects.bulk_create(
        Person(identifier=str(who), pseudonym=k) for k, who in enumerate(house.people.id)
    )
    return house


def test_every_record_is_judged_entitled_and_in_the_past(house):
    from browline.store.models import AssessorStanding, Demonstration

    made = teach(house, NOW, seed=2)
    assert made == Demonstration.objects.count() > 10
    able = set(AssessorStanding.objects.values_list("person", flat=True))
    for record in Demonstration.objects.all():
        assert record.assessor_id in able and record.time < NOW and record.person_id not in able
        assert (record.outcome == "not-yet") or "missed" not in [
            mark
            for step, mark in record.steps.items()
            if {row["id"]: row for row in record.checklist.body["rows"]}[step]["critical"]
        ]


def test_some_are_scored_twice_and_all_count_as_attendance(house):
    from browline.store.models import Attendance, Demonstration, SecondScore

    teach(house, NOW, seed=2)
    assert SecondScore.objects.count() > 2
    assert Attendance.objects.count() == Demonstration.objects.count()


def test_it_is_done_once(house):
    teach(house, NOW, seed=2)
    assert teach(house, NOW, seed=2) == 0
