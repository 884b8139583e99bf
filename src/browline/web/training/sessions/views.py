"""Sessions: when, where, by whom, and who was there."""

from collections.abc import Iterable

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from browline.paper import write_sign_in_sheet
from browline.services.materials import handouts
from browline.services.training import sessions
from browline.services.training.roster import staff_wards
from browline.services.training.sessions import signing_in, striking
from browline.services.training.sessions.expected import expected, signed_in
from browline.services.training.sessions.matching import unmatched
from browline.store.models import Session
from browline.web import phones
from browline.web.downloads import pdf
from browline.web.request import BookRequest
from browline.web.training.sessions.forms import (
    MoveForm,
    OpenForm,
    ReasonForm,
    SessionForm,
    SheetForm,
    StrikeForm,
)
from browline.web.training.sessions.qr import qr

PAST_SHOWN = 50


@require_http_methods(["GET", "HEAD", "POST"])
def index(request: BookRequest) -> HttpResponse:
    """What is coming, what was, and a form to plan one."""
    form = SessionForm(request.POST or None)
    if form.is_valid():
        session = sessions.plan_session(**form.cleaned_data, actor=request.holder.actor)
        return redirect("session", number=session.pk)
    now = timezone.now()
    coming = [s for s in Session.objects.planned() if sessions.window(s)[1] >= now]
    past = Session.objects.exclude(pk__in=[s.pk for s in coming]).order_by("-time")[:PAST_SHOWN]
    page = {
        "form": form,
        "coming": coming,
        "past": _counted(past),
        "wards": wards(),
        "unmatched": unmatched(),
    }
    return render(request, "training/sessions/index.html", page, status=422 if form.errors else 200)


def wards() -> list[str]:
    """Wards that people belong to or are rostered on."""
    return sorted(staff_wards())


def _counted(past: Iterable[Session]) -> list[tuple[Session, int]]:
    return [(s, len({sign_in.person_id for sign_in in s.sign_ins.all() if not sign_in.struck})) for s in past]


@require_GET
def session(request: BookRequest, number: int) -> HttpResponse:
    """One session: its code, who is here, who is expected, the sheet."""
    return _page(request, get_object_or_404(Session, pk=number))


def _page(request: BookRequest, session: Session, status: int = 200, **forms: Form) -> HttpResponse:
    now, address = timezone.now(), sign_in_address(request, session)
    (start, end), opened = sessions.window(session), sessions.is_open(session, now)
    page = {
        "session": session,
        "opens": start,
        "closes": sessions.closing(session, now) if opened else end,
        "open": opened,
        "address": address,
        "qr": qr(address) if address else "",
        "begun": session.time <= now,
        "sheet": SheetForm(people=_to_tick(session)),
        "move": MoveForm(initial=_current_values(session)),
        "reason": ReasonForm(),
        "strike": StrikeForm(session=session),
        "again": OpenForm(),
        **_present(session),
        **forms,
    }
    return render(request, "training/sessions/session.html", page, status=status)


def sign_in_address(request: BookRequest, session: Session) -> str:
    """Where a phone signs in to this session, in full; empty while the pages are not open to phones."""
    base = phones.address(request.META)
    return base and base + reverse("sign-in-to", args=[session.code])


def _current_values(session: Session) -> dict[str, object]:
    return {
        "time": session.time,
        "minutes": session.minutes,
        "ward": session.ward,
        "read": session.time.isoformat(),
    }


def _present(session: Session) -> dict[str, object]:
    lines = signed_in(session)
    return {
        "session": session,
        "here": [line for line in lines if line["ways"]],
        "struck": [line for line in lines if not line["ways"]],
        "missing": [line for line in expected(session) if not line.here],
    }


def _to_tick(session: Session, *, everybody: bool = False) -> list[tuple[str, str]]:
    return [
        (
            line.person.identifier,
            f"{line.person.told_apart}, {line.shift}{', reached before' if line.reached else ''}",
        )
        for line in expected(session)
        if everybody or not line.here
    ]


@require_GET
def attendance_now(request: BookRequest, number: int) -> HttpResponse:
    """Who is here and who is not yet: the part of the page that is looked up anew every few seconds."""
    return render(request, "training/sessions/present.html", _present(get_object_or_404(Session, pk=number)))


@require_POST
def key_in(request: BookRequest, number: int) -> HttpResponse:
    """Key the paper sheet in."""
    session = get_object_or_404(Session, pk=number)
    # Somebody ticked may have signed in by phone meanwhile.
    form = SheetForm(request.POST, people=_to_tick(session, everybody=True))
    if not form.is_valid():
        return _page(request, session, 422, sheet=form)
    keyed = signing_in.key_in(session, form.cleaned_data["identifiers"], actor=_actor(request))
    if keyed.done:
        messages.success(request, _keyed_sentence(keyed))
    if keyed.refused:
        return _page(request, session, 422, sheet=_refused_form(session, keyed))
    return redirect("session", number=number)


def _keyed_sentence(keyed: signing_in.Keyed) -> str:
    """How many the sheet brought, and how many were here already."""
    new = {entry.person.pk for entry in keyed.done if entry.new and not entry.struck}
    voided = {entry.person.pk for entry in keyed.done if entry.struck} - new
    before = {entry.person.pk for entry in keyed.done} - new - voided
    unknown = {entry.person.pk for entry in keyed.done if not entry.on_the_list}
    sentence = f"{len(new)} new, {len(before)} {'was' if len(before) == 1 else 'were'} here already."
    if voided:
        sentence += f" {len(voided)} struck before on paper, and still struck."
    if unknown:
        sentence += f" {len(unknown)} of them on no list yet: match them below the list of sessions."
    return sentence


def _refused_form(session: Session, keyed: signing_in.Keyed) -> SheetForm:
    """The form with the lines that were not taken, each with its reason."""
    lines = "\n".join(line for line, _ in keyed.refused)
    form = SheetForm({"lines": lines}, people=_to_tick(session))
    form.is_valid()
    for line, reason in keyed.refused:
        form.add_error("lines", f"Not taken: {line}. {reason}")
    return form


@require_POST
def strike(request: BookRequest, number: int) -> HttpResponse:
    """Strike one way in which somebody was signed in, or every way."""
    session = get_object_or_404(Session, pk=number)
    form = StrikeForm(request.POST, session=session)
    if not form.is_valid():
        return _page(request, session, 422, strike=form)
    chosen, why = form.chosen(), form.cleaned_data["why"]
    if len(chosen) > 1:
        striking.strike_all(chosen[0].person_id, why, actor=_actor(request), session=session)
    else:
        striking.strike(session, chosen[0].person_id, chosen[0].how, why, actor=_actor(request))
    how = ", ".join(sign_in.how for sign_in in chosen)
    messages.success(request, f"{chosen[0].person.told_apart} was struck ({how}).")
    return redirect("session", number=number)


@require_POST
def move(request: BookRequest, number: int) -> HttpResponse:
    """Move it in time or to another ward."""
    session = get_object_or_404(Session, pk=number)
    form = MoveForm(request.POST)
    if not form.is_valid():
        return _page(request, session, 422, move=form)
    sessions.move(number, **form.cleaned_data, actor=_actor(request))
    messages.success(request, "Moved. The code stays the same.")
    return redirect("session", number=number)


@require_POST
def cancel(request: BookRequest, number: int) -> HttpResponse:
    """Cancel it, with a reason."""
    form = ReasonForm(request.POST)
    if not form.is_valid():
        return _page(request, get_object_or_404(Session, pk=number), 422, reason=form)
    sessions.cancel(number, form.cleaned_data["reason"], _actor(request))
    messages.success(request, "Cancelled.")
    return redirect("sessions")


@require_POST
def hold(request: BookRequest, number: int) -> HttpResponse:
    """Mark it as held."""
    sessions.mark_done(number, _actor(request), now=timezone.now())
    messages.success(request, "Marked as held. Sheets can still be keyed in.")
    return redirect("session", number=number)


@require_POST
def back_to_planned(request: BookRequest, number: int) -> HttpResponse:
    """Take back that it was held."""
    sessions.take_back_done(number, _actor(request))
    messages.success(request, "It is planned again, not held.")
    return redirect("session", number=number)


@require_POST
def open_again(request: BookRequest, number: int) -> HttpResponse:
    """Let people sign in for a while from now on, or close it now."""
    form = OpenForm(request.POST)
    if not form.is_valid():
        return _page(request, get_object_or_404(Session, pk=number), 422, again=form)
    sessions.open_again(number, form.until(), _actor(request), now=timezone.now())
    return redirect("session", number=number)


@require_GET
def sheet(request: BookRequest, number: int) -> HttpResponse:
    """The sheet to sign, as PDF: expected names, lines for others, and the code where phones may be used."""
    session = get_object_or_404(Session, pk=number)
    lines = [handouts.Expected(line.person.shown, line.person.role, line.shift) for line in expected(session)]
    address = sign_in_address(request, session)
    laid = handouts.sign_in_sheet(
        session, lines, timezone.localtime(), address=address, qr=qr(address) if address else ""
    )
    name = f"sign-in-{timezone.localtime(session.time):%Y-%m-%d-%H%M}.pdf"
    return pdf(lambda path: write_sign_in_sheet(laid, path), name, disposition="inline")


def _actor(request: BookRequest) -> str:
    return str(request.holder.actor)
