"""The own record: whoever holds a pass of theirs sees it, and nobody else's.

Whose it is comes from the pass, never from the address, so there is no number to change.
"""

from django.db.models import Q
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.roles import ASSESSOR, EDUCATOR, PERSON
from browline.store.models import Person
from browline.web.access import open_to
from browline.web.request import BookRequest
from browline.web.training.competence_record.views import file_of, page_of

MOST_FOUND = 50


@open_to(ASSESSOR, PERSON)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The own record; the educator, who is nobody on the staff list here, looks for one instead."""
    held = request.holder
    if held.role == EDUCATOR:
        return _looking_for(request)
    return page_of(request, _own(request), "my-record-file")


@open_to(ASSESSOR, PERSON)
@require_GET
def file(request: BookRequest) -> HttpResponse:
    """The own record on paper."""
    return file_of(_own(request))


def _own(request: BookRequest) -> int:
    own = request.holder.person
    if own is None:
        raise Http404
    return int(own)


def _looking_for(request: BookRequest) -> HttpResponse:
    asked = request.GET.get("who", "").strip()
    meant = Q(name__icontains=asked) | Q(identifier__icontains=asked)
    found = list(Person.objects.filter(meant).order_by("name", "identifier")[:MOST_FOUND]) if asked else []
    return render(
        request,
        "training/competence_record/looking.html",
        {"asked": asked, "found": found, "most": MOST_FOUND},
    )
