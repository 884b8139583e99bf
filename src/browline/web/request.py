"""A request as a view receives it, with what the middleware of the book added: for type checkers and readers.

A view that anybody may open (coming in, signing in to a session) takes Django's own `HttpRequest`: nobody is known
there.
"""

from dataclasses import dataclass

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails


@dataclass(frozen=True)
class Holder:
    """Who asks: the role, the name under which deeds are recorded, and which person of the book it is."""

    role: str
    actor: str
    person: int | None = None


class BookRequest(HttpRequest):
    """A request of somebody who has a right to the page (`browline.web.access`)."""

    holder: Holder
    htmx: HtmxDetails
