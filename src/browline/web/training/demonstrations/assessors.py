"""Who may assess: entitlements entered and ended."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from browline.competency.judging import OUTCOMES
from browline.errors import NotUnderstood, Refusal
from browline.services.training.demonstrations import assessors as duty
from browline.store.models import AssessorStanding, Attendance
from browline.web.request import BookRequest
from browline.web.training.demonstrations.forms import CloseForm, EntitleForm


@require_http_methods(["GET", "HEAD", "POST"])
def assessors(request: BookRequest) -> HttpResponse:
    """Everybody who may or might assess; posting enters one more."""
    form = EntitleForm(request.POST or None, initial={"start": timezone.localdate()})
    if form.is_valid():
        entitlement = {name: form.cleaned_data[name] for name in ("start", "end", "qualification")}
        person = form.cleaned_data["person"]
        try:
            duty.entitle(person.pk, **entitlement, actor=request.holder.actor)
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{person.told_apart} may assess in these days.")
            return redirect("assessors")
    page = {"form": form, **_standings()}
    return render(request, "training/demonstrations/assessors.html", page, status=422 if form.errors else 200)


@require_POST
def close(request: BookRequest, number: int) -> HttpResponse:
    """End an entitlement."""
    form = CloseForm(request.POST)
    if not form.is_valid():
        raise NotUnderstood("No last day was given.", "An entitlement ends on a day.", "Give the day.")
    outside = duty.close(number, form.cleaned_data["last_day"], actor=request.holder.actor)
    messages.success(request, "Ended." + (f" {_records_outside(outside)}" if outside else ""))
    return redirect("assessors")


def _records_outside(records: int) -> str:
    subject = "1 record that stands was" if records == 1 else f"{records} records that stand were"
    return f"{subject} made on a day without an entitlement now; look at them."


def _standings() -> dict[str, object]:
    today = timezone.localdate()
    last = dict(
        Attendance.objects.filter(outcome__in=OUTCOMES).order_by("time").values_list("person", "outcome")
    )
    every = list(AssessorStanding.objects.select_related("person").order_by("person__name", "start"))
    ended = [entitlement for entitlement in every if entitlement.end and entitlement.end < today]
    now = [
        {
            "standing": entitlement,
            "scan": OUTCOMES.get(last.get(entitlement.person_id, ""), "never observed"),
            "close": CloseForm(initial={"last_day": today}, auto_id=f"close-{entitlement.pk}-%s"),
        }
        for entitlement in every
        if entitlement not in ended
    ]
    return {"now": now, "ended": ended}
