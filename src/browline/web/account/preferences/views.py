"""See and set the choices of this book."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from browline.roles import EDUCATOR
from browline.services.book import change_preference, preferences
from browline.web.account.preferences.forms import ChoicesForm
from browline.web.request import BookRequest


@require_http_methods(["GET", "HEAD", "POST"])
def choose(request: BookRequest) -> HttpResponse:
    """The choices in force; posting sets those that differ."""
    in_force = preferences.choices()
    form = ChoicesForm(request.POST or None, initial=in_force)
    if not form.is_valid():
        return render(
            request, "account/preferences/choices.html", {"form": form}, status=422 if form.errors else 200
        )
    for key, value in form.cleaned_data.items():
        if value != in_force[key]:
            change_preference.set_choice(key, value, EDUCATOR)
    messages.success(request, "Set. A choice that changes findings counts from the next review on.")
    return redirect("choices")
