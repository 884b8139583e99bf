"""Which records this request may see: the educator all, an assessor those they observed or seconded."""

from django.db.models import Q, QuerySet
from django.http import Http404
from django.utils import timezone

from browline.roles import EDUCATOR
from browline.services.training.demonstrations.reading import chain
from browline.services.training.demonstrations.rules import entitlement
from browline.store.models import Demonstration
from browline.web.request import BookRequest


def readable(request: BookRequest) -> QuerySet[Demonstration]:
    """The records this bearer may read."""
    holder = request.holder
    records = Demonstration.objects.select_related("person", "assessor", "second", "checklist")
    if holder.role == EDUCATOR:
        return records
    return records.filter(Q(assessor=holder.person) | Q(second=holder.person))


def fetch_readable(request: BookRequest, number: int) -> Demonstration:
    """One record that may be read; otherwise there is no such page."""
    record = readable(request).filter(pk=number).first()
    if record is None:
        raise Http404
    return record


def fetch_amendable(request: BookRequest, number: int) -> Demonstration:
    """One record that this bearer may amend: any by the educator, the own by its entitled assessor."""
    record = fetch_readable(request, number)
    if not may_amend(request, record):
        raise Http404
    return record


def may_amend(request: BookRequest, record: Demonstration) -> bool:
    """Whether this bearer may amend a record they may read: its assessor only while entitled to assess."""
    holder = request.holder
    if holder.role == EDUCATOR:
        return True
    is_assessor = holder.person is not None and record.assessor_id == holder.person
    return is_assessor and entitlement(record.assessor_id, timezone.localdate()) is not None


def links(request: BookRequest, record: Demonstration) -> list[Demonstration]:
    """The chain of a record, as far as this bearer may read it."""
    numbers = set(readable(request).values_list("pk", flat=True))
    return [link for link in chain(record) if link.pk in numbers]
