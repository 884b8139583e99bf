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
from browline.web.training.competence_record.views import record_file, record_page

MOST_FOUND = 50


@open_to(ASSESSOR, PERSON)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The own record; the educator, who is nobody on the staff list here, looks for one instead."""
    bearer = request.holder
    if bearer.role == EDUCATOR:
        return _looking_for(request)
    return record_page(request, _bearer_person(request), "my-record-file")


@open_to(ASSESSOR, PERSON)
@require_GET
def file(request: BookRequest) -> HttpResponse:
    """The own record on paper."""
    return record_file(_bearer_person(request))


def _bearer_person(request: BookRequest) -> int:
    person = request.holder.person
    if person is None:
        raise Http404
    return int(person)


def _looking_for(request: BookRequest) -> HttpResponse:
    query = request.GET.get("who", "").strip()
    meant = Q(name__icontains=query) | Q(identifier__icontains=query)
    people = list(Person.objects.filter(meant).order_by("name", "identifier")[:MOST_FOUND]) if query else []
    return render(
        request,
        "training/competence_record/looking.html",
        {"asked": query, "found": people, "most": MOST_FOUND},
    )
