"""Questions a class asks: answers in two sentences, the trade beside the published figure, found by any word."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.materials import matching
from browline.roles import ASSESSOR, PERSON, VIEWER
from browline.services.materials.handouts.cards import handed_out
from browline.web.access import open_to
from browline.web.request import BookRequest


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The questions that hold every word looked for; only their list where a typing browser asks for it."""
    handed = handed_out("questions", timezone.localtime())
    words = request.GET.get("words", "").strip()
    rows = handed.body["rows"]
    page = {"handed": handed, "rows": matching(rows, words), "words": words, "all": len(rows)}
    template = "materials/questions/answers.html" if request.htmx else "materials/questions/index.html"
    return render(request, template, page)
