"""Return demonstrations: records, amendments, the checklist."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.roles import ASSESSOR
from browline.web.access import open_to


@open_to(ASSESSOR)
@require_GET
def index(request: HttpRequest) -> HttpResponse:
    """The page."""
    return render(request, "demonstrations/index.html")
