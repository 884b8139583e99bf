"""The roster: bringing it in, and what its codes mean."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET


@require_GET
def index(request: HttpRequest) -> HttpResponse:
    """The page."""
    return render(request, "roster/index.html")


@require_GET
def unmatched(request: HttpRequest) -> HttpResponse:
    """Entries on no list of people."""
    return render(request, "roster/index.html")
