"""Times are shown as the hospital's own clocks show them."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from browline.services.book import clock


class WardClockMiddleware:
    """Show times in the zone chosen for this book, UTC where none is chosen."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with timezone.override(clock.ward_zone()):
            return self.get_response(request)
