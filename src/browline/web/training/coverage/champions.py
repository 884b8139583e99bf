"""Champions: where there is one, where there is none, and what became of those they signed off first."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from browline.competency.explain import shift_kind_words, standing_sentence
from browline.roles import EDUCATOR
from browline.services.training.coverage import champions
from browline.web.request import BookRequest
from browline.web.training.coverage.forms import ChampionForm, LastDayForm

FEWEST_SEEN_AGAIN = 5


@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page."""
    return _page(request, ChampionForm(initial={"start": timezone.localdate()}))


def _page(request: BookRequest, form: ChampionForm, status: int = 200) -> HttpResponse:
    today = timezone.localdate()
    page = {
        "champions": [_row(champion) for champion in champions.champions(today)],
        "gaps": [{"gap": gap, "kind": shift_kind_words(gap.kind)} for gap in champions.gaps(today)],
        "form": form,
        "today": today.isoformat(),
    }
    return render(request, "training/coverage/champions.html", page, status=status)


def _row(champion: champions.Helping) -> dict[str, object]:
    kinds = ", ".join(f"{shift_kind_words(kind)} {n}" for kind, n in champion.kinds.most_common())
    return {
        "one": champion,
        "stands": standing_sentence(champion.standing),
        "kinds": kinds or "no duty there in these four weeks",
        "handed_on": _handed_on(champion),
    }


def _handed_on(champion: champions.Helping) -> str:
    if champion.seen_again < FEWEST_SEEN_AGAIN:
        return "too few to tell"
    return f"{champion.held} of {champion.seen_again} signed off again"


@require_POST
def appoint(request: BookRequest) -> HttpResponse:
    """Enter a champion."""
    form = ChampionForm(request.POST)
    if not form.is_valid():
        return _page(request, form, status=422)
    entry = form.cleaned_data
    champions.appoint(entry["person"], entry["ward"].strip(), start=entry["start"], actor=EDUCATOR)
    messages.success(request, "The champion was entered.")
    return redirect("champions")


@require_POST
def release(request: BookRequest, number: int) -> HttpResponse:
    """Enter a champion's last day."""
    form = LastDayForm(request.POST)
    if form.is_valid():
        champions.release(number, form.cleaned_data["last_day"], actor=EDUCATOR)
        messages.success(request, "The last day was entered.")
    else:
        messages.error(request, "No last day was given, so nothing was changed.")
    return redirect("champions")
