"""Who may see a page.

The educator is one person on this computer, let in by a link that works once: it holds a signed note of when
the educator last came in, coming in changes that moment, and so every link made before it stops working; two
browsers racing with one link are settled by a conditional update.

Everybody else holds a pass (`browline.services.book.access_links`). A page belongs to the educator alone unless its
view says otherwise with `open_to`; the right is looked up anew for every request.
"""

from collections.abc import Callable
from datetime import datetime
from ipaddress import ip_address
from typing import ParamSpec

from django.contrib.auth import get_user_model, login
from django.contrib.auth.models import User
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from browline.roles import EDUCATOR
from browline.services.book import access_links
from browline.web.request import BookRequest, Holder
from browline.web.request_origin import from_phone

SALT = "browline.open"
LINK_LIVES_SECONDS = 10 * 60
PASS = "pass"
Asked = ParamSpec("Asked")


def open_to(*roles: str) -> Callable[[Callable[Asked, HttpResponse]], Callable[Asked, HttpResponse]]:
    """Say which roles beside the educator may see a view."""

    def mark(view: Callable[Asked, HttpResponse]) -> Callable[Asked, HttpResponse]:
        vars(view)["roles"] = (EDUCATOR, *roles)
        return view

    return mark


def holder(request: HttpRequest) -> Holder | None:
    """Who asks, from the signed-in session or the pass it holds; None where there is no right, or no longer."""
    if request.user.is_authenticated and _from_this_computer(request):
        return Holder(EDUCATOR, EDUCATOR)
    access_link = access_links.valid(request.session.get(PASS))
    return (
        None
        if access_link is None
        else Holder(access_link.role, access_links.actor(access_link), access_link.person_id)
    )


def _from_this_computer(request: HttpRequest) -> bool:
    """Whether the request comes from this computer: the educator's pages go nowhere else."""
    return not from_phone(request.META) and ip_address(request.META["REMOTE_ADDR"]).is_loopback


def educator() -> User:
    """The one local user, who has no password: the only way in is a link from the program."""
    user, created = get_user_model().objects.get_or_create(username=EDUCATOR)
    if created:
        user.set_unusable_password()
        user.save()
    return user


def make_token() -> str:
    """What makes a link work once and for ten minutes: the moment of the last entry, signed."""
    return signing.dumps(_moment(educator().last_login), salt=SALT)


def let_in(request: HttpRequest, token: str) -> bool:
    """Sign the bearer of an unused, unexpired token in; False where it is used, old or not ours."""
    try:
        moment = signing.loads(token, salt=SALT, max_age=LINK_LIVES_SECONDS)
    except signing.BadSignature:
        return False
    user = educator()
    if not _use_up(user, moment):
        return False
    login(request, user)
    return True


def let_in_with_pass(request: HttpRequest, token: str) -> bool:
    """Give this browser the pass whose link it brought; False where it has ended or is not ours."""
    access_link = access_links.by_token(token)
    if access_link is None:
        return False
    request.session.flush()
    request.session[PASS] = access_link.pk
    request.session.set_expiry(access_link.until)
    return True


def _use_up(user: User, moment: str) -> bool:
    if moment != _moment(user.last_login):
        return False
    entries = get_user_model().objects.filter(pk=user.pk, last_login=user.last_login)
    return entries.update(last_login=timezone.now()) == 1


def _moment(when: datetime | None) -> str:
    return when.isoformat() if when else "never"


class RightsMiddleware:
    """Answer every page that the bearer has no right to with a plain one that says how to open it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pages stay out of the browser's store: the computer may be shared."""
        response = self.get_response(request)
        response["Cache-Control"] = "no-store"
        return response

    def process_view(
        self,
        request: BookRequest,
        view: object,
        args: tuple[object, ...],
        kwargs: dict[str, object],
    ) -> HttpResponse | None:
        """Look the right up, and let the view know who asks."""
        asks = holder(request)
        if asks is not None:
            request.holder = asks
        if not getattr(view, "login_required", True):
            return None
        if asks is None:
            return render(
                request, "account/login/closed.html", {"ended": PASS in request.session}, status=403
            )
        if asks.role not in getattr(view, "roles", (EDUCATOR,)):
            return render(request, "account/login/not_yours.html", status=403)
        return None
