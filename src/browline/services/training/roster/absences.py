"""Who seems to be away for long, or to have left, by the roster: proposed, never guessed into the record.

The educator confirms a proposal (`browline.services.training.staff.away`) or says that it is not so.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count, F, Max, Min, Q

from browline import display
from browline.shifts import ON_DUTY
from browline.store.event_log import write_event
from browline.store.models import Absence, Event, Person

# Common practice, no source: two weeks of nothing but leave is more than a holiday week.
LONG_DAYS = 14
AROUND = timedelta(weeks=4)
AWAY = ("leave", "sick")
NOT_SO = "absence-not-so"


@dataclass(frozen=True)
class Proposal:
    """An absence that the roster suggests, and in which words."""

    person: Person
    start: date
    end: date | None
    reason: str
    why: str


def proposals(today: date) -> list[Proposal]:
    """Absences to confirm, one a person, leavers first; none that overlaps one entered, or one said not to be so."""
    answered = _answered()
    open_: dict[int, Proposal] = {}
    for proposal in (*_ended(), *_leavers(), *_long_leave(today)):
        if not any(_overlap(proposal, start, end) for start, end in answered.get(proposal.person.pk, ())):
            open_.setdefault(proposal.person.pk, proposal)
    return list(open_.values())


def not_so(proposal: Proposal, *, actor: str) -> None:
    """Say that a proposed absence is none; what overlaps its days is not proposed again."""
    days = {"start": f"{proposal.start}", "end": proposal.end and f"{proposal.end}"}
    write_event(actor, NOT_SO, proposal.person.pk, days)


def _answered() -> dict[int, list[tuple[date, date | None]]]:
    """Person -> spans of days about which the educator has said something."""
    spans: dict[int, list[tuple[date, date | None]]] = defaultdict(list)
    for person, start, end in Absence.objects.values_list("person_id", "start", "end"):
        spans[person].append((start, end))
    for subject, data in Event.objects.filter(verb=NOT_SO).values_list("subject", "data"):
        if "start" in data:
            end = data["end"] and date.fromisoformat(data["end"])
            spans[int(subject)].append((date.fromisoformat(data["start"]), end))
    return spans


def _overlap(proposal: Proposal, start: date, end: date | None) -> bool:
    return (end is None or proposal.start <= end) and (proposal.end is None or start <= proposal.end)


def _ended() -> list[Proposal]:
    """People whose employment ended, by the list of people, and whom the roster still has on duty after that."""
    gone = Person.objects.filter(end__isnull=False, shifts__kind__in=ON_DUTY, shifts__date__gt=F("end"))
    return [
        Proposal(
            person=p,
            start=p.end + timedelta(days=1),
            end=None,
            reason="left",
            why=f"employed until {display.day(p.end)}, rostered after",
        )
        for p in gone.distinct()
        if p.end is not None
    ]


def _leavers() -> list[Proposal]:
    """People of whom the roster itself says that they have left, and has nothing else after."""
    leaving = Q(shifts__kind="left")
    people = Person.objects.annotate(
        since=Min("shifts__date", filter=leaving),
        last=Max("shifts__date", filter=Q(shifts__kind__in=ON_DUTY)),
    )
    return [
        Proposal(
            person=p,
            start=p.since,
            end=None,
            reason="left",
            why=f"the roster says that they have left, from {display.day(p.since)}",
        )
        for p in people.filter(since__isnull=False)
        if p.last is None or p.last < p.since
    ]


def _long_leave(today: date) -> list[Proposal]:
    """People whose turns four weeks back and ahead are all leave or sickness, over at least `LONG_DAYS` days."""
    near = Q(shifts__date__range=(today - AROUND, today + AROUND))
    away = Q(shifts__kind__in=AWAY)
    counted = Person.objects.annotate(
        turns=Count("shifts", filter=near),
        away=Count("shifts", filter=near & away),
        last=Max("shifts__date", filter=near),
    ).filter(turns__gt=0)
    away_throughout = [(p, _first_day(p, today)) for p in counted if p.turns == p.away]
    return [
        Proposal(
            person=p,
            start=first,
            end=p.last,
            reason="long-leave",
            why=f"all turns since {display.day(first)} are leave or sickness",
        )
        for p, first in away_throughout
        if (p.last - first).days + 1 >= LONG_DAYS
    ]


def _first_day(person: Person, today: date) -> date:
    """The first day of an absence that lasts around `today`: after the last turn before it that was none."""
    others = person.shifts.exclude(kind__in=AWAY).filter(date__lt=today)
    since = others.order_by("-date").values_list("date", flat=True).first() or date.min
    return person.shifts.filter(kind__in=AWAY, date__gt=since).order_by("date")[0].date
