"""Signing in to a session on a phone, by its code. No pass is needed; the code, while it is good, is the right.

One phone may be passed around the room, so the answer never shows who else is there, and the form is ready
for the next at once.
"""

from datetime import datetime

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from browline.errors import Refusal
from browline.services.training.sessions import signing_in, wrong_codes
from browline.store.models import Session, SignIn
from browline.web import json_posts
from browline.web.filters import moment

LARGEST = 4096
ACTOR = "phone"
NOT_COMPETENCE = "Attendance is not competence: you are signed off when somebody has seen you do it."
NO_SESSION = "This code opens nothing now. Look at the code again, or sign on the paper sheet."
TOO_MANY = "Too many wrong codes came from here. Wait ten minutes, or sign on the paper sheet."


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def index(request: HttpRequest) -> HttpResponse:
    """Type the code that the educator shows."""
    if request.method != "POST":
        return render(request, "training/attendance/index.html")
    code = request.POST.get("code", "")
    session = _open_session(request, code, None)
    return session if isinstance(session, HttpResponse) else redirect("sign-in-to", code=session.code)


# Exempt because the code is the whole right: a form from elsewhere that knows it could as well be sent from there.
@csrf_exempt
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest, code: str) -> HttpResponse:
    """Type the staff identifier, one after another; from the outbox it comes as JSON, perhaps later."""
    if _as_form(request) and int(request.META.get("CONTENT_LENGTH") or 0) > LARGEST:
        return HttpResponse(status=413)
    try:
        payload = None if _as_form(request) else json_posts.posted_fields(request, LARGEST)
    except Refusal as refusal:
        return _no(request, str(refusal), 422, {})
    session = _open_session(request, code, payload)
    if isinstance(session, HttpResponse):
        return session
    if request.method != "POST":
        return render(request, "training/attendance/sign_in.html", {"session": session})
    stored, sentence = _sign_in(session, str((payload or request.POST).get("identifier", "")))
    if payload is not None:
        return JsonResponse({"kept": stored, "waiting": False, "sentence": sentence})
    page = {"session": session, "kept": stored, "sentence": sentence}
    return render(request, "training/attendance/sign_in.html", page, status=200 if stored else 422)


def _as_form(request: HttpRequest) -> bool:
    """Whether it was not the outbox that sent it."""
    return request.method != "POST" or request.content_type != "application/json"


def _open_session(
    request: HttpRequest, code: str, payload: dict[str, object] | None
) -> Session | HttpResponse:
    """The session of a good code, or the answer that says why not."""
    address, now = request.META["REMOTE_ADDR"], timezone.now()
    if wrong_codes.blocked(address, now):
        return _no(request, TOO_MANY, 429, payload)
    session: Session | None = signing_in.find_session(code)
    if session is None:
        wrong_codes.count_wrong(address, now)
    elif signing_in.may_sign_in(session, now, _filled_in(payload, now)):
        return session
    return _no(request, NO_SESSION, 404, payload)


def _no(request: HttpRequest, sentence: str, status: int, payload: dict[str, object] | None) -> HttpResponse:
    if payload is not None:
        return JsonResponse({"kept": False, "waiting": False, "sentence": sentence}, status=status)
    return render(request, "training/attendance/index.html", {"sentence": sentence}, status=status)


def _filled_in(payload: dict[str, object] | None, now: datetime) -> datetime | None:
    """When the form was filled in, by the phone's own span since then: its clock may be wrong."""
    try:
        filled_in, sent = (datetime.fromisoformat(str((payload or {})[name])) for name in ("at", "sent"))
        return now - max(sent - filled_in, sent - sent)
    except (KeyError, ValueError, TypeError, OverflowError):
        return None


def _sign_in(session: Session, identifier: str) -> tuple[bool, str]:
    """Whether it was kept, and what to say."""
    try:
        done = signing_in.sign_in(session, identifier, SignIn.PHONE, actor=ACTOR)
    except Refusal as refusal:
        return False, str(refusal)
    if done.struck:
        return True, "This sign-in was struck by the educator. Please speak to the educator."
    where = f" on {session.ward}" if session.ward else ""
    matched = "" if done.on_the_list else " Your identifier is not on the list: the educator will match it."
    return (
        True,
        f"You are signed in to the session{where}, {moment(session.time)} "
        f"(identifier ending in {identifier.strip()[-2:]}).{matched} {NOT_COMPETENCE}",
    )
