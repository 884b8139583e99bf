"""Make a pass, see those that are out, take one back."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from browline.roles import EDUCATOR
from browline.services.book import access_links as duty
from browline.store.models import Pass
from browline.web import phones
from browline.web.account.access_links.forms import PassForm
from browline.web.request import BookRequest
from browline.web.training.sessions.qr import qr


@require_http_methods(["GET", "HEAD", "POST"])
def passes(request: BookRequest) -> HttpResponse:
    """The passes that are out; posting makes one and shows its link this once."""
    form = PassForm(request.POST or None)
    page: dict[str, object] = {"form": form, "link": None}
    if form.is_valid():
        details = {name: form.cleaned_data[name] for name in ("person", "until", "label")}
        token = duty.issue(form.cleaned_data["role"], **details, actor=EDUCATOR)
        link = _address(request) + reverse("come-in-with-pass", args=[token])
        page = {"form": PassForm(), "link": link, "qr": qr(link) if phones.address(request.META) else ""}
    page["out"] = Pass.objects.valid(timezone.now()).select_related("person")
    return render(
        request,
        "account/access_links/passes.html",
        page,
        status=422 if form.is_bound and form.errors else 200,
    )


def _address(request: BookRequest) -> str:
    """Where the bearer reaches the pages: from phones, while they are open to phones; else this computer."""
    return phones.address(request.META) or request.build_absolute_uri("/").rstrip("/")


@require_POST
def take_back(request: BookRequest, number: int) -> HttpResponse:
    """Take a pass back."""
    duty.revoke(number, EDUCATOR)
    messages.success(request, "Taken back. It stops working with the next page its bearer opens.")
    return redirect("passes")
