"""Who seems to be away for long, or to have left, by the roster: proposed, never guessed into the record.

The educator confirms a proposal (`browline.duties.staff.away`) or says that it is not so.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from browline.shifts import ON_DUTY

# Common practice, no source: two weeks of nothing but leave is more than a holiday week.
LONG_DAYS = 14
NOT_SO = "absence-not-so"


@dataclass(frozen=True)
class Proposal:
    """An absence that the roster suggests, and in which words."""

    person: Any
    start: date
    end: date | None
    reason: str
    why: str


def proposals() -> list[Proposal]:
    """Absences to confirm, leavers first; not those entered already, nor those she said are not so."""
    from browline.store.models import Absence, Event

    told = set(Absence.objects.values_list("person_id", flat=True))
    refused = {int(s) for s in Event.objects.filter(verb=NOT_SO).values_list("subject", flat=True)}
    return [p for p in (*_left(), *_long_leave()) if p.person.pk not in told | refused]


def not_so(person: int, *, actor: str) -> None:
    """Say that a proposed absence is none; it is not proposed again."""
    from browline.store.models import Event

    Event.objects.create(actor=actor, verb=NOT_SO, subject=str(person))


def _left() -> list[Proposal]:
    """People whose employment ended, by the list of people, and whom the roster still has on duty after that."""
    from django.db.models import F

    from browline.store.models import Person

    gone = Person.objects.filter(end__isnull=False, shifts__kind__in=ON_DUTY, shifts__date__gt=F("end"))
    return [
        Proposal(
            p, p.end + timedelta(days=1), None, "left", f"employed until {p.end:%d %b %Y}, rostered after"
        )
        for p in gone.distinct()
    ]


def _long_leave() -> list[Proposal]:
    """People whose turns are all leave or sickness, over at least `LONG_DAYS` days."""
    from django.db.models import Count, Max, Min, Q

    from browline.store.models import Person

    away = Q(shifts__kind__in=("leave", "sick"))
    counted = Person.objects.annotate(
        turns=Count("shifts"),
        away=Count("shifts", filter=away),
        first=Min("shifts__date"),
        last=Max("shifts__date"),
    ).filter(turns__gt=0)
    return [
        Proposal(p, p.first, p.last, "long-leave", f"all {p.turns} turns of the roster are leave or sickness")
        for p in counted
        if p.turns == p.away and (p.last - p.first).days + 1 >= LONG_DAYS
    ]
