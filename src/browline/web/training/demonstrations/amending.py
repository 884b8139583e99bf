"""Amend a record, or say that it should not have been made."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from browline.competency import checklist as checklists
from browline.errors import Refusal
from browline.roles import ASSESSOR, EDUCATOR
from browline.services.training.demonstrations.amending import amend as amended
from browline.services.training.demonstrations.amending import withdraw as withdrawn
from browline.store.models import Demonstration
from browline.web.access import open_to
from browline.web.request import BookRequest
from browline.web.training.demonstrations.forms import AmendForm, WithdrawForm
from browline.web.training.demonstrations.rows import fetch_amendable

PEOPLE = ("person", "assessor", "second")
# Who observed and who was observed is for the educator to put right.
EDUCATORS = ("person", "assessor")


@open_to(ASSESSOR)
@require_http_methods(["GET", "HEAD", "POST"])
def amend(request: BookRequest, number: int) -> HttpResponse:
    """The form of an amendment; posting writes the record that replaces this one."""
    record = fetch_amendable(request, number)
    form = _form(request, record)
    if form.is_valid():
        try:
            amendment = amended(
                record,
                form.cleaned_data["reason"],
                _changes(form, record),
                actor=request.holder.actor,
                now=timezone.now(),
            )
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"Amended. {amendment.sentence}")
            return redirect("demonstration", number=amendment.demonstration.pk)
    page = {"record": record, "form": form, "withdraw": WithdrawForm()}
    return render(request, "training/demonstrations/amend.html", page, status=422 if form.errors else 200)


@open_to(ASSESSOR)
@require_POST
def withdraw(request: BookRequest, number: int) -> HttpResponse:
    """Say that a record should not have been made."""
    record = fetch_amendable(request, number)
    form = WithdrawForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    withdrawal = withdrawn(record, reason, actor=request.holder.actor)
    messages.success(request, "Withdrawn. It stays to be read and counts for nothing.")
    return redirect("demonstration", number=withdrawal.pk)


def _form(request: BookRequest, record: Demonstration) -> AmendForm:
    plain = {name: getattr(record, name) for name in ("method", "ward", "instrument", "taught")}
    people = {name: getattr(getattr(record, name), "identifier", "") for name in PEOPLE}
    time = timezone.localtime(record.time).replace(tzinfo=None)
    form = AmendForm(
        request.POST or None,
        checklist=checklists.read(record.checklist.body),
        marks=record.steps,
        initial={**plain, **people, "time": time},
    )
    if request.holder.role != EDUCATOR:
        for name in EDUCATORS:
            del form.fields[name]
    return form


def _changes(form: AmendForm, record: Demonstration) -> dict[str, object]:
    """What the form says otherwise than the record. A minute left alone keeps its seconds."""
    given = {name: form.cleaned_data[name] for name in ("method", "ward", "instrument", "taught")}
    given["steps"] = form.marks()
    for name in PEOPLE:
        if name in form.fields:
            given[name] = getattr(form.cleaned_data[name], "pk", None)
    if form.cleaned_data["time"] != record.time.replace(second=0, microsecond=0):
        given["time"] = form.cleaned_data["time"]
    before = {**vars(record), **{name: getattr(record, f"{name}_id") for name in PEOPLE}}
    return {name: value for name, value in given.items() if value != before[name]}
