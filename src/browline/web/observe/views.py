"""Observing a return demonstration on a phone, also without a network."""

import json
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from browline.duties import documents
from browline.duties.demonstrating.assessors import entitled_on
from browline.duties.demonstrating.rules import METHODS
from browline.duties.demonstrating.waiting import receive as received
from browline.roles import ASSESSOR
from browline.skills import checklist as checklists
from browline.skills.judging import MARKS, SENTENCES
from browline.store.models import Instrument, Person
from browline.web.access import open_to
from browline.web.observe.expected import people

LARGEST = 64 * 1024


@open_to(ASSESSOR)
@require_GET
def index(request: HttpRequest) -> HttpResponse:
    """The page, holding all it needs to go on without a network."""
    document = documents.kept("checklist", timezone.localdate())
    checklist = checklists.read(document.body)
    today = timezone.localdate()
    assessors = entitled_on(today)
    observer = Person.objects.filter(pk=request.holder.person).first()  # type: ignore[attr-defined]
    page = {
        "document": document,
        "standing": documents.standing(document, today),
        "checklist": checklist,
        "follow": checklists.FOLLOW,
        "methods": METHODS,
        "marks": MARKS,
        "assessors": assessors,
        "observer": observer,
        "entitled": observer in assessors,
        "instruments": Instrument.objects.filter(listed=True, end=None).values_list("name", flat=True),
        "embedded": {
            "people": people(checklist, timezone.now(), today),
            "steps": [{"id": s.id, "name": s.name, "critical": s.critical} for s in checklist.steps],
            "sentences": SENTENCES,
        },
    }
    return render(request, "observe/index.html", page)


@open_to(ASSESSOR)
@require_POST
def receive(request: HttpRequest) -> HttpResponse:
    """Keep one record from a phone, or let it wait; the answer is for the outbox."""
    payload = _payload(request)
    if payload is None:
        sentence = "This is no record of a demonstration. Open the page again."
        return JsonResponse({"kept": False, "waiting": False, "sentence": sentence}, status=400)
    holder = request.holder  # type: ignore[attr-defined]
    answer = received(payload, bearer=holder.person, actor=holder.actor, now=timezone.now())
    return JsonResponse(vars(answer))


def _payload(request: HttpRequest) -> dict[str, Any] | None:
    try:
        told = json.loads(request.body) if len(request.body) <= LARGEST else None
    except ValueError:
        return None
    return told if isinstance(told, dict) and told.get("key") else None
