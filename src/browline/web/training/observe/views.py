"""Observing a return demonstration on a phone, also without a network."""

from django.http import HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from browline.competency import checklist as checklists
from browline.competency.judging import MARKS, SENTENCES
from browline.errors import Refusal
from browline.roles import ASSESSOR, EDUCATOR
from browline.services.materials import documents
from browline.services.training.demonstrations.assessors import entitled_on, may_see_names
from browline.services.training.demonstrations.pending import receive as received
from browline.services.training.demonstrations.rules import METHODS
from browline.store.models import Instrument, Person
from browline.web.access import open_to
from browline.web.json_posts import posted_fields
from browline.web.request import BookRequest
from browline.web.training.observe.expected import people

LARGEST = 64 * 1024


@open_to(ASSESSOR)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page, holding all it needs to go on without a network; no names for who may not assess today."""
    today, holder = timezone.localdate(), request.holder
    observer = None if holder.person is None else Person.objects.filter(pk=holder.person).first()
    if holder.role != EDUCATOR and not may_see_names(holder.person, today):
        return render(request, "training/observe/not_today.html", {"observer": observer})
    document = documents.stored("checklist", today)
    checklist = checklists.read(document.body)
    page = {
        "document": document,
        "standing": documents.status(document, today),
        "checklist": checklist,
        "follow": checklists.FOLLOW,
        "methods": METHODS,
        "marks": MARKS,
        "assessors": entitled_on(today),
        "observer": observer,
        "instruments": Instrument.objects.listed().filter(end=None).values_list("name", flat=True),
        "embedded": _embedded(checklist, holder.person),
    }
    return render(request, "training/observe/index.html", page)


def _embedded(checklist: checklists.Checklist, observer: int | None) -> dict[str, object]:
    """What the page's script works with."""
    return {
        "people": people(checklist, timezone.now(), timezone.localdate(), observer=observer),
        "steps": [{"id": s.id, "name": s.name, "critical": s.critical} for s in checklist.steps],
        "sentences": SENTENCES,
        "days_between": checklist.days_between,
    }


@open_to(ASSESSOR)
@require_POST
def receive(request: BookRequest) -> HttpResponse:
    """Keep one record from a phone, or let it wait; the answer is for the outbox."""
    try:
        payload = posted_fields(request, LARGEST)
    except Refusal:
        payload = {}
    if not payload.get("key"):
        sentence = "This is no record of a demonstration. Open the page again."
        return JsonResponse({"kept": False, "waiting": False, "sentence": sentence}, status=400)
    holder = request.holder
    answer = received(payload, bearer=holder.person, actor=holder.actor, now=timezone.now())
    return JsonResponse(vars(answer))
