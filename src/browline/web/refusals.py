"""A refusal reaches the screen as it was written: what came, what was wanted, what to do."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from browline.errors import Refusal


class RefusalMiddleware:
    """Turn a refusal raised by a duty into a page; anything else stays a fault of ours."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        """The refusal's page, or None."""
        if not isinstance(fault, Refusal):
            return None
        return render(request, "refusal.html", {"refusal": fault}, status=422)
