"""Where the instruments are and what is due, the register with what the last review says, each instrument's page."""

from collections.abc import Mapping

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from browline.instruments import Fleet, describe_task, forecast, list_tasks, place_sentence
from browline.services.book.preferences import choice
from browline.services.instruments import register as registers
from browline.services.questioned.learning import asks
from browline.services.review.model_part import Reads, reads
from browline.store.models import Finding, Instrument, last_whole_review
from browline.web.charts import subject_chart
from browline.web.current_book import current_book
from browline.web.instruments.index.daily import daily, fleet_today
from browline.web.instruments.index.forms import CheckForm, InstrumentForm, RetireForm
from browline.web.request import BookRequest


@require_GET
def instruments(request: BookRequest) -> HttpResponse:
    """What is due today; then every instrument, surest to be off first, with what the review and the register say."""
    numbers = dict(Instrument.objects.values_list("name", "pk"))
    rows = [{**row, "number": numbers[str(row["name"])]} for row in _overview()]
    rows.sort(key=lambda row: -_probability(row))
    return render(
        request, "instruments/index/instruments.html", {"rows": rows, **daily(fleet_today(), numbers)}
    )


def _probability(row: Mapping[str, object]) -> float:
    probability = row["probability"]
    return probability if isinstance(probability, int | float) else 0


def _overview() -> list[dict[str, object]]:
    """The register's rows; since when an instrument is off is said only of those with an open finding."""
    about = Finding.objects.open().filter(subject_type="instrument")
    flagged = set(about.values_list("subject_id", flat=True))
    rows = registers.instruments_overview(current_book())
    reads = _reads([row["name"] for row in rows])
    return [
        {**row, "since": row["since"] if row["name"] in flagged else None, "reads": reads[row["name"]]}
        for row in rows
    ]


def _reads(names: list[str]) -> dict[str, Reads | None]:
    """How each instrument reads and changes between cleanings, as the last review has it."""
    review, unit = last_whole_review(), choice("show_unit")
    if review is None:
        return dict.fromkeys(names)
    return {name: reads(review.document, name, unit) for name in names}


@require_GET
def instrument(request: BookRequest, number: int) -> HttpResponse:
    """One instrument."""
    instrument = get_object_or_404(Instrument, pk=number)
    now = timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    return _page(
        request, instrument, CheckForm(initial={"time": now}), InstrumentForm(initial=_register(instrument))
    )


def _register(instrument: Instrument) -> dict[str, object]:
    return {name: getattr(instrument, name) for name in InstrumentForm.base_fields}


def _page(
    request: BookRequest, instrument: Instrument, check: forms.Form, entry: forms.Form, status: int = 200
) -> HttpResponse:
    row = next((r for r in _overview() if r["name"] == instrument.name), {})
    since = row.get("since")
    page = {
        "instrument": instrument,
        "row": row,
        "chart": subject_chart(
            current_book(), "instrument", instrument.name, since if isinstance(since, str) else None
        ),
        "findings": Finding.objects.filter(subject_type="instrument", subject_id=instrument.name),
        "checks": instrument.checks.order_by("-time"),
        "cleanings": instrument.cleanings.order_by("-time")[:20],
        "sightings": instrument.sightings.order_by("-time", "-id")[:20],
        "service": registers.service(instrument.name),
        "recurs": [
            ask for ask in asks(current_book(), timezone.localtime()) if ask.instrument == instrument.name
        ],
        "retire": RetireForm(),
        **_today(fleet_today(), instrument.name),
        "check": check,
        "entry": entry,
    }
    return render(request, "instruments/index/instrument.html", page, status=status)


def _today(fleet: Fleet, name: str) -> dict[str, object]:
    """Where it is, what can be said of lens, battery and check, and what is to do about it."""
    if name not in fleet.places:
        return {}
    return {
        "place": fleet.places[name],
        "place_sentence": place_sentence(fleet.places[name]),
        "lens": fleet.lenses.get(name),
        "battery": forecast(fleet.batteries[name]) if name in fleet.batteries else "",
        "check_due": fleet.checks.get(name),
        "tasks": [describe_task(task) for task in list_tasks(fleet) if task.entry.name == name],
    }


@require_POST
def enter_check(request: BookRequest, number: int) -> HttpResponse:
    """Enter a check against a reference."""
    instrument = get_object_or_404(Instrument, pk=number)
    form = CheckForm(request.POST)
    if not form.is_valid():
        return _page(request, instrument, form, InstrumentForm(initial=_register(instrument)), status=422)
    registers.enter_check(instrument.name, **form.cleaned_data, actor=request.holder.actor)
    messages.success(request, "The check was entered.")
    return redirect("instrument", number=number)


@require_POST
def edit(request: BookRequest, number: int) -> HttpResponse:
    """Change the register's entry."""
    instrument = get_object_or_404(Instrument, pk=number)
    form = InstrumentForm(request.POST)
    if not form.is_valid():
        return _page(request, instrument, CheckForm(), form, status=422)
    registers.edit_instrument(instrument.name, **form.cleaned_data, actor=request.holder.actor)
    messages.success(request, "The register was changed.")
    return redirect("instrument", number=number)
