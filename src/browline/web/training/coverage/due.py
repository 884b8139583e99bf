"""Who is due, and whom to see again first: by name, for the educator."""

from collections.abc import Iterable
from datetime import date
from typing import TypedDict

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.competency.explain import day, listed, standing_sentence
from browline.paper import Sheet
from browline.services.training import coverage
from browline.services.training.coverage import statuses
from browline.services.training.coverage.away import away_ahead
from browline.store.models import Person
from browline.web.downloads import spreadsheet
from browline.web.request import BookRequest

SHORT = 12


class Someone(TypedDict):
    """A person of the list; `away`: the day on which an absence ends."""

    number: int
    name: str
    ward: str
    role: str
    away: date | None


class Again(Someone):
    """A person to see again: by when, whether that is now, and why."""

    due: str
    state: str
    now: bool
    reasons: tuple[str, ...]


@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page."""
    again = _again()
    page = {
        "due": _due(),
        "again": again[:SHORT],
        "further": len(again) - SHORT,
        "rule": statuses.rule(timezone.localdate()),
    }
    return render(request, "training/coverage/due.html", page)


@require_GET
def sheet(request: BookRequest) -> HttpResponse:
    """Whom to see again, as a spreadsheet: everybody, with the reasons."""
    rows = [
        (
            r["name"],
            r["ward"],
            r["role"],
            r["due"],
            day(r["away"]) if r["away"] else None,
            "; ".join(r["reasons"]),
        )
        for r in _again()
    ]
    headings = ("name", "ward", "role", "by", "away until", "reasons")
    return spreadsheet(Sheet("to see again", headings, rows), "to-see-again.xlsx")


def _due() -> list[dict[str, object]]:
    due_rows = coverage.due(timezone.localdate())
    people = _people(d.person for d in due_rows)
    return [{**people[d.person], "stands": standing_sentence(d.standing)} for d in due_rows]


def _again() -> list[Again]:
    today = timezone.localdate()
    refreshers = coverage.refreshing(today)
    people = _people(r.person for r in refreshers)
    return [
        {
            **people[r.person],
            "due": day(r.due),
            "state": r.state.value,
            "now": r.due == today,
            "reasons": listed(r.reasons),
        }
        for r in refreshers
    ]


def _people(numbers: Iterable[int]) -> dict[int, Someone]:
    persons, away = Person.objects.filter(pk__in=set(numbers)), away_ahead(timezone.localdate())
    return {
        p.pk: {"number": p.pk, "name": p.shown, "ward": p.ward, "role": p.role, "away": away.get(p.pk)}
        for p in persons
    }
