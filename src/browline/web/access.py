"""Who may see a page: one person on this computer, let in by a link that works once.

The link holds a signed note of when the educator last came in. Coming in changes that moment, so every
link made before it stops working; two browsers racing with one link are settled by a conditional update.
"""

from datetime import datetime

from django.contrib.auth import get_user_model, login
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.models import User
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

EDUCATOR = "educator"
SALT = "browline.open"
LINK_LIVES_SECONDS = 10 * 60


def educator() -> User:
    """The one local user, who has no password: the only way in is a link from the program."""
    user, made = get_user_model().objects.get_or_create(username=EDUCATOR)
    if made:
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


def _use_up(user: User, moment: str) -> bool:
    if moment != _moment(user.last_login):
        return False
    entries = get_user_model().objects.filter(pk=user.pk, last_login=user.last_login)
    return entries.update(last_login=timezone.now()) == 1


def _moment(when: datetime | None) -> str:
    return when.isoformat() if when else "never"


class SignedInMiddleware(LoginRequiredMiddleware):
    """Answer every page with a plain one that says how to open it, unless the session is signed in."""

    def handle_no_permission(self, request: HttpRequest, view_func: object) -> HttpResponse:
        """The plain page."""
        return render(request, "entry/closed.html", status=403)

    def process_response(self, request: HttpRequest, response: HttpResponse) -> HttpResponse:
        """Pages stay out of the browser's store: the computer may be shared."""
        response["Cache-Control"] = "no-store"
        return response
