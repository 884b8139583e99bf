"""A refusal reaches the screen as it was written: what came, what was wanted, what to do."""

from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from browline.errors import Refusal
from browline.store.lost import refuse_vanished_records
from browline.web.frame import CAUTION


class RecordsMiddleware:
    """Refuse every page of a book whose records are gone since it was opened: asking them would make new ones."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        try:
            refuse_vanished_records(Path(settings.DATABASES["default"]["NAME"]).parent)
        except Refusal as refusal:
            # Without the request: what a frame usually shows would be read from the records.
            page = {"refusal": refusal, "caution": CAUTION}
            return HttpResponse(render_to_string("refusal.html", page), status=503)
        return self.get_response(request)


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
