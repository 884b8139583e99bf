"""Who can do it: tonight, by ward, shift and role; due and overdue."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.roles import ASSESSOR, VIEWER
from browline.web.access import open_to


@open_to(ASSESSOR, VIEWER)
@require_GET
def index(request: HttpRequest) -> HttpResponse:
    """The page."""
    return render(request, "coverage/index.html")
