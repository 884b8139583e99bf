"""One person's record: everything that proves what they can do, who saw it and by what right, and what is missing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import pairwise

from browline.competency import checklist as checklists
from browline.competency.checklist import Step
from browline.competency.judging import DONE, NOT_SEEN, OUTCOMES, SIGNED_OFF
from browline.competency.status import Observed, Rule, Standing, standing
from browline.services.book.clock import local_day, ward_zone
from browline.services.book.preferences import choice
from browline.services.materials import documents
from browline.services.training.coverage import statuses
from browline.services.training.demonstrations import METHODS
from browline.services.training.demonstrations.reading import OUTCOME_WORDS, WITHDRAWN, chain
from browline.services.training.demonstrations.rules import entitlement
from browline.store.models import AssessorStanding, Attendance, Demonstration, Person


@dataclass(frozen=True)
class Assessor:
    """Who observed: by what right on that day (None: none entered), and where they stood themselves that day."""

    name: str
    role: str
    qualification: str | None
    start: date | None
    end: date | None
    own: Standing


@dataclass(frozen=True)
class Amendment:
    """A record that replaced another: when, by whom, why, and from which outcome to which."""

    at: datetime
    actor: str
    reason: str
    before: str
    after: str


@dataclass(frozen=True)
class Entry:
    """One observed return demonstration as it stands. `version` is how the checklist stood on that day."""

    time: datetime
    day: date
    outcome: str
    attempt: int
    method: str
    ward: str
    instrument: str
    checklist: int
    version: str
    steps: tuple[tuple[Step, str], ...]
    assessor: Assessor
    second: Assessor | None
    taught: str
    amendments: tuple[Amendment, ...]

    @property
    def left(self) -> tuple[Step, ...]:
        """The critical steps that were not seen done."""
        return tuple(step for step, mark in self.steps if step.critical and mark != DONE)

    @property
    def withdrawn(self) -> bool:
        """Whether it counts for nothing."""
        return self.outcome == WITHDRAWN


@dataclass(frozen=True)
class BroughtIn:
    """A sign-off, or a not yet, that came in with a list."""

    day: date
    outcome: str
    ward: str
    assessor: Assessor | None


@dataclass(frozen=True)
class Record:
    """A person's record on a day: who, where they stand, every observation latest first, sessions, months it holds."""

    person: Person
    today: date
    hospital: str
    skill: str
    rule: Rule
    standing: Standing
    entries: tuple[Entry, ...]
    brought_in: tuple[BroughtIn, ...]
    attended: tuple[tuple[date, str], ...]
    entitled: tuple[AssessorStanding, ...]


def record(person: int, today: date) -> Record:
    """The record of the person of this number."""
    who, zone = Person.objects.get(pk=person), ward_zone()
    rule, chains = statuses.rule(today), _chains(person)
    rows = list(Attendance.objects.filter(person=person).select_related("assessor").order_by("-time"))
    times_in_book = {link.time for links in chains for link in links}
    brought = [r for r in rows if r.outcome in OUTCOMES and r.time not in times_in_book]
    checklist = checklists.read(documents.in_force("checklist", today).body)
    return Record(
        person=who,
        today=today,
        hospital=choice("hospital"),
        skill=checklist.skill,
        rule=rule,
        standing=statuses.standings(today, [person])[person],
        entries=tuple(_entry(links, rule) for links in chains),
        brought_in=tuple(
            BroughtIn(day, r.outcome, r.ward, _row_assessor(r, day, rule))
            for r, day in ((r, local_day(r.time, zone)) for r in brought)
        ),
        attended=tuple((local_day(r.time, zone), r.ward) for r in rows if r.outcome not in OUTCOMES),
        entitled=tuple(who.standings.order_by("start")),
    )


def attempts(entries: Sequence[Entry]) -> tuple[bool, ...]:
    """The outcomes in order of time, true where signed off, withdrawn ones left out."""
    return tuple(e.outcome == SIGNED_OFF for e in reversed(entries) if not e.withdrawn)


def _chains(person: int) -> list[list[Demonstration]]:
    """Every demonstration with what was amended in it, by the chain's last record; latest first."""
    last = Demonstration.objects.filter(person=person, amended_by=None)
    last = last.select_related("assessor", "second", "checklist", "amends").order_by("-time", "-id")
    return [chain(row) for row in last]


def _entry(links: Sequence[Demonstration], rule: Rule) -> Entry:
    last = links[-1]
    day = local_day(last.time)
    steps = checklists.read(last.checklist.body).steps
    return Entry(
        time=last.time,
        day=day,
        outcome=last.outcome,
        attempt=last.attempt,
        method=METHODS.get(last.method, last.method),
        ward=last.ward,
        instrument=last.instrument,
        checklist=last.checklist.version,
        version=documents.status_on(last.checklist, day),
        steps=tuple((step, last.steps.get(step.id, NOT_SEEN)) for step in steps),
        assessor=_assessor(last.assessor, day, rule),
        second=_assessor(last.second, day, rule) if last.second else None,
        taught=last.taught,
        amendments=tuple(_amendment(before, after) for before, after in pairwise(links)),
    )


def _amendment(before: Demonstration, after: Demonstration) -> Amendment:
    return Amendment(
        at=after.received,
        actor=after.actor,
        reason=after.reason,
        before=OUTCOME_WORDS.get(before.outcome, before.outcome),
        after=OUTCOME_WORDS.get(after.outcome, after.outcome),
    )


def _row_assessor(row: Attendance, day: date, rule: Rule) -> Assessor | None:
    return _assessor(row.assessor, day, rule) if row.assessor else None


def _assessor(person: Person, day: date, rule: Rule) -> Assessor:
    right = entitlement(person.pk, day)
    observed: Mapping[int, tuple[Observed, ...]] = statuses.observations([person.pk])
    return Assessor(
        name=person.shown,
        role=person.role,
        qualification=None if right is None else right.qualification,
        start=None if right is None else right.start,
        end=None if right is None else right.end,
        own=standing(observed.get(person.pk, ()), rule, day),
    )
