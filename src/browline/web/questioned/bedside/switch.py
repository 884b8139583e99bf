"""The switch for the desk's answer at the bedside: how it stands, turn it on in somebody's name, turn it off."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from browline.errors import Refusal
from browline.roles import EDUCATOR
from browline.services.questioned import at_bedside
from browline.services.questioned.pathway import in_use
from browline.web.questioned.bedside.forms import ApprovalForm
from browline.web.request import BookRequest


@require_http_methods(["GET", "HEAD", "POST"])
def index(request: BookRequest) -> HttpResponse:
    """How it stands and every turn of it; posting turns it on."""
    form = ApprovalForm(request.POST or None)
    if not (form.is_bound and form.is_valid()):
        return _switch_page(request, form, status=422 if form.errors else 200)
    try:
        at_bedside.turn_on(**form.cleaned_data, actor=EDUCATOR)
    except Refusal as refusal:
        return _switch_page(request, form, refusal, status=409)
    messages.success(request, "Turned on, and recorded.")
    return redirect("bedside-switch")


@require_POST
def off(request: BookRequest) -> HttpResponse:
    """Turn it off at once."""
    at_bedside.turn_off(request.POST.get("reason", ""), EDUCATOR)
    messages.success(request, "It is off.")
    return redirect("bedside-switch")


def _switch_page(
    request: BookRequest, form: ApprovalForm, refusal: Refusal | None = None, *, status: int
) -> HttpResponse:
    now = timezone.localtime()
    page = {
        "form": form,
        "refusal": refusal,
        "switch": at_bedside.standing(now),
        "held_off": at_bedside.HELD_OFF,
        "turns": at_bedside.turns(),
        "pathway": in_use(now),
    }
    return render(request, "questioned/bedside/switch.html", page, status=status)
