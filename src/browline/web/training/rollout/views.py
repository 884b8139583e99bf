"""What could a roll-out detect? A form whose answer stands in its own address; nothing is kept."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.services.book.preferences import choice
from browline.services.training.rollout import CHOICES, detectable, first_options
from browline.web.request import BookRequest
from browline.web.training.rollout.forms import RolloutForm, form_values


@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The form with the answer to what it holds; fields the address leaves out are as at first."""
    first = first_options()
    given = {name: request.GET[name] for name in CHOICES if name in request.GET}
    form = RolloutForm({**form_values(first), **given}, from_review=first.of_the_book)
    detectable_effect = detectable(form.asked, choice("show_unit")) if form.is_valid() else None
    page = {"form": form, "told": detectable_effect, "of_the_book": first.of_the_book}
    return render(request, "training/rollout/index.html", page, status=422 if form.errors else 200)
