"""The daily part of the instruments: the count, what is due, each ward's kit; cleanings, adding, retiring."""

from itertools import groupby

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from browline.documents.instruments import InstrumentsDocument, TaskRow
from browline.errors import Refusal
from browline.instruments import Fleet
from browline.instruments.mismatch import MODE_DIFFERENCE_C
from browline.instruments.tasks import Kind
from browline.quantities.both_units import both_units
from browline.services.book.preferences import choice
from browline.services.instruments import cleaning, par_levels
from browline.services.instruments import register as registers
from browline.services.instruments.document import instruments_document, kind_code
from browline.services.instruments.status import standing as standing_of_instruments
from browline.store.models import Instrument
from browline.web.current_book import current_book
from browline.web.instruments.index.forms import AddForm, BatteryForm, CleaningForm, NeedForm, RetireForm
from browline.web.request import BookRequest

FIRST = 3
HEADINGS = {kind_code(kind): kind.value for kind in Kind}


def fleet_today() -> Fleet:
    """How the instruments stand now, in the hospital's zone."""
    return standing_of_instruments(current_book(), timezone.localtime())


def daily(fleet: Fleet, numbers: dict[str, int]) -> dict[str, object]:
    """What the page opens with."""
    document = instruments_document(fleet)
    return {
        "count": document.count,
        "due": [_group(kind, list(rows), numbers) for kind, rows in groupby(document.due, _kind)],
        "kits": [{"kit": row, "away": _away(document, row.away)} for row in document.wards],
        "unlisted": [(entry.name, numbers[entry.name]) for entry in fleet.unlisted],
        "need_form": NeedForm(),
        "battery_form": BatteryForm(initial={"readings": 15_000}),
        "batteries": par_levels.battery_readings(),
    }


def _kind(task: TaskRow) -> str:
    return task.kind


def _group(kind: str, tasks: list[TaskRow], numbers: dict[str, int]) -> dict[str, object]:
    """What is due of one kind, the first few lines of it to be shown; an action that all share is said once."""
    lines = [{"task": task, "number": numbers[task.instrument]} for task in tasks]
    actions = {task.action for task in tasks}
    return {
        "kind": HEADINGS[kind],
        "number": len(lines),
        "first": lines[:FIRST],
        "rest": lines[FIRST:],
        "action": actions.pop() if len(actions) == 1 else "",
    }


def _away(document: InstrumentsDocument, names: tuple[str, ...]) -> list[tuple[str, str]]:
    """Each of these instruments with the ward where it was located."""
    return [(name, document.ward_of(name)) for name in names]


def _actor(request: BookRequest) -> str:
    return str(request.holder.actor)


@require_http_methods(["GET", "HEAD", "POST"])
def enter_cleaning(request: BookRequest) -> HttpResponse:
    """Enter a cleaning of one instrument or several."""
    initial: dict[str, object] = {
        "time": _now(),
        "part": "lens",
        "instruments": request.GET.getlist("instrument"),
    }
    form = CleaningForm(request.POST or None, initial=initial)
    if request.method != "POST" or not form.is_valid():
        return _form(request, "instruments/index/cleaning.html", form)
    facts = {**form.cleaned_data, "actor": _actor(request), "now": timezone.now()}
    try:
        entered = cleaning.enter(facts.pop("instruments"), **facts)
    except Refusal as refusal:
        form.add_error(None, str(refusal))
        return _form(request, "instruments/index/cleaning.html", form)
    again = f" {entered.already_here} stood there already." if entered.already_here else ""
    messages.success(request, f"Cleanings entered: {entered.kept}.{again}")
    for caution in entered.cautions:
        messages.warning(request, caution)
    return redirect("instruments")


@require_http_methods(["GET", "HEAD", "POST"])
def add(request: BookRequest) -> HttpResponse:
    """Add an instrument to the register."""
    form = AddForm(request.POST or None, initial={"name": request.GET.get("name", "")})
    if request.method != "POST" or not form.is_valid():
        return _form(request, "instruments/index/add.html", form)
    facts = dict(form.cleaned_data)
    try:
        name = registers.add_instrument(facts.pop("name"), **facts, actor=_actor(request))
    except Refusal as refusal:
        form.add_error("name", str(refusal))
        return _form(request, "instruments/index/add.html", form)
    messages.success(request, f"{name} is in the register.")
    return redirect("instrument", number=Instrument.objects.get(name=name).pk)


def _form(request: BookRequest, template: str, form: forms.Form) -> HttpResponse:
    apart = both_units(f"{{d {MODE_DIFFERENCE_C}}}", choice("show_unit"))
    return render(request, template, {"form": form, "apart": apart}, status=422 if form.errors else 200)


def _now() -> str:
    return timezone.localtime().strftime("%Y-%m-%dT%H:%M")


@require_POST
def retire(request: BookRequest, number: int) -> HttpResponse:
    """Retire an instrument, with the reason and what stands in for it."""
    instrument = get_object_or_404(Instrument, pk=number)
    form = RetireForm(request.POST)
    if not form.is_valid():
        return _form(request, "instruments/index/retire.html", form)
    try:
        registers.retire(instrument.name, **form.cleaned_data, actor=_actor(request))
    except Refusal as refusal:
        form.add_error(None, str(refusal))
        return _form(request, "instruments/index/retire.html", form)
    messages.success(request, f"{instrument.name} counts as retired after its last day in service.")
    return redirect("instrument", number=number)


@require_POST
def reinstate(request: BookRequest, number: int) -> HttpResponse:
    """Put a retired instrument back into service."""
    instrument = get_object_or_404(Instrument, pk=number)
    registers.reinstate(instrument.name, actor=_actor(request))
    messages.success(request, f"{instrument.name} is in service again.")
    return redirect("instrument", number=number)


@require_POST
def state_need(request: BookRequest) -> HttpResponse:
    """State how many instruments a ward should have ready."""
    form = NeedForm(request.POST)
    if not form.is_valid():
        return _form(request, "instruments/index/need.html", form)
    par_levels.state_need(form.cleaned_data["ward"], form.cleaned_data["number"], actor=_actor(request))
    messages.success(request, "The need was stated.")
    return redirect("instruments")


@require_POST
def state_battery(request: BookRequest) -> HttpResponse:
    """State how many readings a battery lasts in a model."""
    form = BatteryForm(request.POST)
    if not form.is_valid():
        return _form(request, "instruments/index/battery.html", form)
    par_levels.state_battery(form.cleaned_data["model"], form.cleaned_data["readings"], actor=_actor(request))
    messages.success(request, "Noted: forecasts use it from now on.")
    return redirect("instruments")
