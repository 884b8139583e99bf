"""Return demonstrations: the records, and one record as it stands locked."""

from django.core.paginator import Paginator
from django.db.models import Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.competency import checklist as checklists
from browline.competency.judging import MARKS, OUTCOMES, judge
from browline.roles import ASSESSOR, EDUCATOR
from browline.services.book.clock import local_day
from browline.services.materials import documents
from browline.services.training.demonstrations.pending import waiting
from browline.services.training.demonstrations.reading import OUTCOME_WORDS, WITHDRAWN, last_record
from browline.services.training.demonstrations.recheck import clashes
from browline.services.training.demonstrations.rules import METHODS, entitlement
from browline.store.models import Demonstration, Person
from browline.web.access import open_to
from browline.web.request import BookRequest
from browline.web.training.demonstrations.rows import fetch_readable, links, may_amend, readable

PER_PAGE = 50


@open_to(ASSESSOR)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The records that stand, latest first, of all or of those whose person or ward was asked for."""
    query = request.GET.get("find", "").strip()
    matches = _matching(readable(request).filter(amended_by=None).order_by("-time", "-pk"), query)
    records = Paginator(matches, PER_PAGE).get_page(request.GET.get("page"))
    page: dict[str, object] = {
        "records": records,
        "rows": [(record, OUTCOME_WORDS[record.outcome]) for record in records],
        "asked": query,
        "checklist": documents.in_force("checklist", timezone.localdate()),
    }
    if request.holder.role == EDUCATOR:
        page |= {"waiting": len(waiting()), "clashes": len(clashes())}
    return render(request, "training/demonstrations/index.html", page)


def _matching(records: QuerySet[Demonstration], query: str) -> QuerySet[Demonstration]:
    for word in query.split():
        named = Q(person__name__icontains=word) | Q(person__identifier__icontains=word)
        records = records.filter(named | Q(ward__icontains=word))
    return records


@open_to(ASSESSOR)
@require_GET
def demonstration(request: BookRequest, number: int) -> HttpResponse:
    """One record as it was written, with its version of the checklist, its assessor's standing, and its chain."""
    record = fetch_readable(request, number)
    checklist = checklists.read(record.checklist.body)
    stands = last_record(record)
    page = {
        "record": record,
        "said": OUTCOME_WORDS[record.outcome],
        "withdrawn": record.outcome == WITHDRAWN,
        "method": METHODS.get(record.method, record.method),
        "judgement": judge(checklist.steps, record.steps),
        "steps": [(step, MARKS[record.steps[step.id]]) for step in checklist.steps],
        "assessors": [_assessor(record, person) for person in (record.assessor, record.second) if person],
        "chain": [(link, OUTCOME_WORDS[link.outcome]) for link in links(request, record)],
        "stands": stands,
        "replaced": stands.pk != record.pk,
        "amendable": stands.pk == record.pk and record.outcome != WITHDRAWN and may_amend(request, record),
        "scores": _scores(request, record),
    }
    return render(request, "training/demonstrations/demonstration.html", page)


def _assessor(record: Demonstration, person: Person) -> dict[str, object]:
    return {"person": person, "standing": entitlement(person.pk, local_day(record.time))}


def _scores(request: BookRequest, record: Demonstration) -> list[dict[str, object]]:
    """What other assessors scored on their own: for the educator, who brings assessors together about it."""
    if request.holder.role != EDUCATOR:
        return []
    first = record
    while first.amends is not None:
        first = first.amends
    return [
        {
            "assessor": score.assessor,
            "said": OUTCOMES[score.outcome],
            "apart": sum(score.steps.get(step) != mark for step, mark in first.steps.items()),
        }
        for score in first.second_scores.select_related("assessor")
    ]
