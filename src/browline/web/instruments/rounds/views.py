"""An instrument round, walked with a phone or keyed from the sheet: by ward, one line for each instrument."""

import uuid
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from django.contrib import messages
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_POST

from browline.columns import MODES
from browline.errors import Refusal
from browline.instruments import Fleet, LensDue, Place, current_ward, place_sentence
from browline.paper import write_round_sheet
from browline.roles import ASSESSOR
from browline.services.instruments.rounds import Recorded, record_round, said
from browline.services.instruments.status import standing
from browline.services.materials.handouts import round_sheet
from browline.web import json_posts
from browline.web.access import open_to
from browline.web.current_book import current_book
from browline.web.downloads import pdf
from browline.web.instruments.rounds.fields import posted_round
from browline.web.request import BookRequest

OTHERS = ("other-1", "other-2")
FEW = 40
LONGEST_BODY = 1_000_000
CHOICES = {
    "state": (("present", "Here"), ("in-use", "In use"), ("not-located", "Not found")),
    "lens": (("clean", "Clean"), ("cleaned", "Cleaned now"), ("dirty", "Dirty")),
    "unit": (("C", "°C"), ("F", "°F")),
    "battery": (("ok", "OK"), ("low", "Low"), ("dead", "Dead"), ("new", "New one in")),
}


@open_to(ASSESSOR)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The wards to choose from, or the lines of those chosen; a small hospital's are all open at once."""
    fleet = standing(current_book(), timezone.localtime())
    wards = {kit.ward: _on_ward(fleet, kit.ward) for kit in fleet.wards}
    chosen = [ward for ward in request.GET.getlist("ward") if ward in wards]
    if not chosen and "ward" not in request.GET and fleet.count.in_service <= FEW:
        chosen = list(wards)
    page = {
        "wards": wards,
        "walks": [
            {"ward": w, "key": uuid.uuid4(), "rows": [_row(fleet, p) for p in wards[w]]} for w in chosen
        ],
        "closed": {ward: len(places) for ward, places in wards.items() if ward not in chosen},
        "choices": CHOICES,
        "modes": MODES,
        "others": OTHERS,
    }
    return render(request, "instruments/rounds/index.html", page)


def _on_ward(fleet: Fleet, ward: str) -> list[Place]:
    """The instruments to look for on a ward: those at home there, and those last found there."""
    serving = (place for name, place in fleet.places.items() if name in fleet.lenses)
    return [p for p in serving if p.entry.ward == ward or (p.located and current_ward(p) == ward)]


def _row(fleet: Fleet, place: Place) -> dict[str, object]:
    return {"entry": place.entry, "place": place_sentence(place), "lens": fleet.lenses[place.entry.name]}


@open_to(ASSESSOR)
@require_POST
def keep(request: BookRequest) -> HttpResponse:
    """Keep a round, from a phone's outbox or from the form itself."""
    if request.content_type == "application/json":
        return _answer(request)
    recorded = _record(request, request.POST.dict())
    messages.success(request, said(recorded))
    return redirect(f"{reverse('round')}?{urlencode({'ward': request.POST.get('ward', '')})}")


def _answer(request: BookRequest) -> HttpResponse:
    try:
        sentence, stored = said(_record(request, json_posts.posted_fields(request, LONGEST_BODY))), True
    except Refusal as refusal:
        sentence, stored = str(refusal), False
    payload = {"kept": stored, "waiting": False, "sentence": sentence}
    return JsonResponse(payload, status=200 if stored else 422)


def _record(request: BookRequest, posted: Mapping[str, object]) -> Recorded:
    now = timezone.localtime()
    return record_round(posted_round(posted, now), actor=request.holder.actor, now=now)


@open_to(ASSESSOR)
@require_GET
def sheet(request: BookRequest) -> HttpResponse:
    """The round sheet of a ward on paper, with the day by which each lens is due; of every ward where none is said."""
    now, ward = timezone.localtime(), request.GET.get("ward", "")
    lenses = standing(current_book(), now).lenses
    laid_out = round_sheet(ward, now)
    lines = [replace(line, due=_due(lenses, line.instrument)) for line in laid_out.lines]
    return pdf(lambda path: write_round_sheet(replace(laid_out, lines=tuple(lines)), path), "round-sheet.pdf")


def _due(lenses: Mapping[str, LensDue], name: str) -> date | None:
    return lenses[name].due if name in lenses else None
