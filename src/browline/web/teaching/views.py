"""Teaching: the way to each page of it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET


@require_GET
def teaching(request: HttpRequest) -> HttpResponse:
    """The page."""
    return render(request, "teaching/teaching.html")
