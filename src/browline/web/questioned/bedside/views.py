"""The bedside: the pathway in use, to read and to tick off. Nothing is asked and nothing is stored."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.roles import ASSESSOR, PERSON, VIEWER
from browline.services.questioned import at_bedside
from browline.services.questioned.pathway import in_use
from browline.web.access import open_to
from browline.web.request import BookRequest


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def bedside(request: BookRequest) -> HttpResponse:
    """The pathway; while the switch is on, to those who measure also the way to the desk, and who approved that."""
    now = timezone.localtime()
    measures = request.holder.role != VIEWER
    page = {"pathway": in_use(now), "switch": at_bedside.standing(now), "measures": measures}
    return render(request, "questioned/bedside/bedside.html", page)
