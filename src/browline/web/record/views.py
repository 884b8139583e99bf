"""One person's record."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.roles import ASSESSOR, PERSON
from browline.web.access import open_to


@open_to(ASSESSOR, PERSON)
@require_GET
def index(request: HttpRequest) -> HttpResponse:
    """The page."""
    return render(request, "record/index.html")
