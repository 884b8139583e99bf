"""The cast of who can do it, all invented: the night staff of Larch, some of Maple, and what is on record of each.

Written straight into the book, as phones, rosters and files would have left it. The night is that of 02 Mar 2026.
"""

from datetime import UTC, date, datetime, timedelta

from browline.competency.checklist import STEPS
from browline.services.materials.documents import stored
from browline.store.models import (
    Absence,
    AssessorStanding,
    Attendance,
    Demonstration,
    Person,
    SecondScore,
    Shift,
)

NIGHT = datetime(2026, 3, 2, 23, tzinfo=UTC)
TODAY = NIGHT.date()
ALL_DONE = {step.id: "done" for step in STEPS}
NO_LENS = ALL_DONE | {"lens": "missed"}

STAFF = {
    "Ana Reed": {"role": "nurse"},
    "Bo Hale": {"role": "senior nurse"},
    "Cem Oak": {"role": "nurse"},
    "Dee Frost": {"role": "care assistant"},
    "Eve Lund": {"role": "nurse", "listed": False},
    "Fay Moss": {"role": "nurse"},
    "Gil Stone": {"role": "nurse"},
    "Hal Wren": {"role": ""},
    "Ida Birch": {"role": "nurse", "ward": "Maple"},
}


def people():
    """The staff, by first name."""
    made = {}
    for number, (name, facts) in enumerate(STAFF.items(), start=1):
        told = {"ward": "Larch", "start": date(2025, 1, 1)} | facts
        made[name.split()[0]] = Person.objects.create(
            identifier=f"S{number:02}", name=name, pseudonym=number, **told
        )
    return made


def demonstration(person, assessor, when, steps=ALL_DONE, **facts):
    """A record as the phone leaves it, with its row among the sessions."""
    outcome = "signed-off" if steps == ALL_DONE else "not-yet"
    told = {
        "outcome": outcome,
        "attempt": 1,
        "ward": "Larch",
        "instrument": "FS-07",
        "method": "patient",
        "actor": "ines",
    }
    made = Demonstration.objects.create(
        person=person,
        assessor=assessor,
        checklist=stored("checklist", date(2026, 1, 1)),
        time=when,
        steps=steps,
        **told | facts,
    )
    if made.outcome != "withdrawn":
        Attendance.objects.get_or_create(person=person, time=when, outcome=made.outcome, assessor=assessor)
    return made


def at(day, hour=9):
    return datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


def on_duty(person, ward="Larch", day=TODAY, kind="night"):
    """A turn of duty of twelve hours from seven in the evening (night) or in the morning."""
    start = at(day, 19 if kind == "night" else 7)
    Shift.objects.create(
        person=person,
        date=day,
        ward=ward,
        code=kind[:1].upper(),
        kind=kind,
        start=start,
        end=start + timedelta(hours=12),
    )


def a_night():
    """Everybody, their records and tonight's roster. Returns the staff by first name."""
    staff = people()
    ana, bo, cem, dee, eve, fay, gil, hal, ida = staff.values()
    AssessorStanding.objects.create(
        person=bo, start=date(2025, 1, 1), qualification="teaches the skill since 2020", actor="ines"
    )
    demonstration(bo, ida, at(date(2025, 12, 1)))
    demonstration(ana, bo, at(date(2026, 1, 5)))
    demonstration(dee, bo, at(date(2026, 2, 20)), NO_LENS, taught="looked at lenses together")
    demonstration(ida, bo, at(date(2025, 2, 10)))
    Attendance.objects.create(person=fay, time=at(date(2025, 11, 3)), outcome="signed-off", assessor=None)
    Attendance.objects.create(person=cem, time=at(date(2026, 2, 1)), outcome="attended")
    Absence.objects.create(person=gil, start=date(2026, 1, 10), reason="long-leave", actor="ines")
    for person in (ana, bo, cem, dee, eve, fay, gil, hal):
        on_duty(person)
    # Ida belongs to Maple and floats to Larch tonight.
    on_duty(ida)
    return staff


def scored_again(first, assessor, steps):
    """Another assessor's score of a record."""
    outcome = "signed-off" if steps == ALL_DONE else "not-yet"
    return SecondScore.objects.create(
        demonstration=first, assessor=assessor, steps=steps, outcome=outcome, actor="ines"
    )
