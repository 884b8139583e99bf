"""The same checklist on paper, for a ward without a phone; it is keyed in on the same page afterwards."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.competency import checklist as checklists
from browline.competency.judging import MARKS
from browline.roles import ASSESSOR
from browline.services.materials import documents
from browline.services.training.demonstrations.rules import METHODS
from browline.web.access import open_to
from browline.web.request import BookRequest


@open_to(ASSESSOR)
@require_GET
def sheet(request: BookRequest) -> HttpResponse:
    """A sheet to print: who, who observes, a box for each mark of each step, what came of it."""
    document = documents.stored("checklist", timezone.localdate())
    page = {
        "document": document,
        "standing": documents.status(document, timezone.localdate()),
        "checklist": checklists.read(document.body),
        "methods": METHODS.values(),
        "marks": MARKS.values(),
    }
    return render(request, "training/observe/sheet.html", page)
