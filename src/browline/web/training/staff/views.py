"""The staff list, ward by ward, and each person's entry."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from browline.errors import Refusal
from browline.roles import EDUCATOR
from browline.services.training import staff as duty
from browline.store.models import Person
from browline.web.current_book import current_book
from browline.web.request import BookRequest
from browline.web.training.staff.forms import AwayForm, BackForm, EntryForm, NewForm

UNLISTED = "not on the list"


@require_http_methods(["GET", "HEAD", "POST"])
def staff(request: BookRequest) -> HttpResponse:
    """The people of one ward, or how many there are on each; posting adds somebody."""
    form = NewForm(request.POST or None)
    if form.is_valid():
        try:
            added = duty.add(current_book(), actor=EDUCATOR, **form.cleaned_data)
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{added.shown} is on the list.")
            return redirect("staff-member", number=added.pk)
    ward = request.GET.get("ward")
    page = {
        "form": form,
        "wards": _wards(),
        "ward": ward,
        "people": None if ward is None else _ward_people(ward),
    }
    return render(request, "training/staff/staff.html", page, status=422 if form.errors else 200)


def _wards() -> list[tuple[str, int]]:
    """Each ward with its number of people; last those seen in charts or at sessions and never listed."""
    counts: dict[str, int] = {}
    for ward, listed in Person.objects.values_list("ward", "listed"):
        key = ward if listed else UNLISTED
        counts[key] = counts.get(key, 0) + 1
    return sorted(counts.items(), key=lambda pair: (pair[0] == UNLISTED, pair[0]))


def _ward_people(ward: str) -> list[Person]:
    unlisted = ward == UNLISTED
    people = Person.objects.unlisted() if unlisted else Person.objects.listed().filter(ward=ward)
    return sorted(people.prefetch_related("absences"), key=lambda person: person.shown)


@require_http_methods(["GET", "HEAD", "POST"])
def person(request: BookRequest, number: int) -> HttpResponse:
    """One person's entry; posting changes it."""
    person = get_object_or_404(Person, pk=number)
    now = {name: getattr(person, name) for name in duty.ENTRIES}
    form = EntryForm(request.POST or None, initial=now)
    if form.is_valid():
        try:
            duty.change(number, actor=EDUCATOR, **form.cleaned_data)
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The entry was changed.")
            return redirect("staff-member", number=number)
    return _page(request, person, form, AwayForm(initial={"start": timezone.localdate()}))


@require_POST
def away(request: BookRequest, number: int) -> HttpResponse:
    """Enter an absence."""
    person = get_object_or_404(Person, pk=number)
    form = AwayForm(request.POST)
    if form.is_valid():
        try:
            duty.away(number, actor=EDUCATOR, **form.cleaned_data)
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("staff-member", number=number)
    return _page(request, person, EntryForm(initial={n: getattr(person, n) for n in duty.ENTRIES}), form)


@require_POST
def back(request: BookRequest, number: int, absence: int) -> HttpResponse:
    """End an absence."""
    form = BackForm(request.POST)
    if form.is_valid():
        try:
            duty.back(absence, form.cleaned_data["end"], actor=EDUCATOR)
        except Refusal as refusal:
            messages.error(request, str(refusal))
    else:
        messages.error(request, "Give the last day away.")
    return redirect("staff-member", number=number)


def _page(request: BookRequest, person: Person, entry: EntryForm, away: AwayForm) -> HttpResponse:
    page = {
        "person": person,
        "entry": entry,
        "away": away,
        "back": BackForm(),
        "absences": person.absences.all(),
    }
    return render(
        request, "training/staff/person.html", page, status=422 if entry.errors or away.errors else 200
    )
