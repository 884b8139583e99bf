"""Score a demonstration a second time, on one's own: the first assessor's marks are not shown."""

from datetime import timedelta

from django.contrib import messages
from django.db.models import Q, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from browline.competency import checklist as checklists
from browline.errors import Refusal
from browline.roles import ASSESSOR, EDUCATOR
from browline.services.training.demonstrations.assessors import may_see_names
from browline.services.training.demonstrations.second_scores import second_score
from browline.store.models import Demonstration, SecondScore
from browline.web.access import open_to
from browline.web.request import BookRequest
from browline.web.training.demonstrations.forms import ScoreForm

# A colleague scores what they watched, within days; marks from longer ago are memory.
RECENT = timedelta(days=14)


def _scorable(request: BookRequest) -> QuerySet[Demonstration]:
    """First records of late; to an assessor, while entitled, those of others."""
    holder = request.holder
    first = Demonstration.objects.filter(amends=None, time__gte=timezone.now() - RECENT)
    first = first.select_related("person", "assessor", "checklist").order_by("-time")
    if holder.role == EDUCATOR:
        return first
    if not may_see_names(holder.person, timezone.localdate()):
        return first.none()
    return first.exclude(Q(assessor=holder.person) | Q(second=holder.person) | Q(person=holder.person))


@open_to(ASSESSOR)
@require_GET
def to_score(request: BookRequest) -> HttpResponse:
    """What was demonstrated of late and not scored yet: who, when, and by whom it was observed; no results."""
    person = request.holder.person
    scored = SecondScore.objects.filter(assessor=person).values("demonstration")
    records = _scorable(request).exclude(pk__in=scored)[:50]
    return render(request, "training/demonstrations/to_score.html", {"records": records})


@open_to(ASSESSOR)
@require_http_methods(["GET", "HEAD", "POST"])
def score(request: BookRequest, number: int) -> HttpResponse:
    """An empty checklist of the version that was used; posting keeps the marks."""
    record = _scorable(request).filter(pk=number).first()
    if record is None:
        raise Http404
    holder = request.holder
    form = ScoreForm(request.POST or None, checklist=checklists.read(record.checklist.body))
    if holder.role != EDUCATOR:
        del form.fields["assessor"]
    if form.is_valid():
        assessor = form.cleaned_data["assessor"].pk if holder.role == EDUCATOR else holder.person
        if assessor is None:
            raise Http404
        try:
            second_score(record, assessor, form.marks(), key=form.cleaned_data["key"], actor=holder.actor)
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "Your score was kept, beside the first one and apart from it.")
            return redirect("to-score")
    page = {"record": record, "form": form}
    return render(request, "training/demonstrations/score.html", page, status=422 if form.errors else 200)
