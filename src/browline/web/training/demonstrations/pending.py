"""Records from phones that could not be kept as they came: each with its reason and what to do."""

from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from browline.competency.judging import judge
from browline.errors import Refusal
from browline.services.training.demonstrations import pending as duty
from browline.services.training.demonstrations.reading import OUTCOME_WORDS
from browline.services.training.demonstrations.recheck import Clash, clashes, let_stand
from browline.services.training.demonstrations.rules import find_checklist
from browline.services.training.demonstrations.submissions import marks, moment, row_number
from browline.store.models import Demonstration, Event, Person
from browline.web.request import BookRequest
from browline.web.training.demonstrations.forms import ReasonForm, TakeForm


@require_GET
def waiting(request: BookRequest) -> HttpResponse:
    """Every record that waits."""
    return _page(request)


@require_POST
def take(request: BookRequest, number: int) -> HttpResponse:
    """Record what waits, with what was put right."""
    form = TakeForm(request.POST, auto_id=f"take-{number}-%s")
    if form.is_valid():
        try:
            recorded = duty.take(
                number,
                form.changes(),
                form.cleaned_data["reason"],
                actor=request.holder.actor,
                now=timezone.now(),
            )
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"Taken. {recorded.sentence}")
            return redirect("demonstrations-waiting")
    return _page(request, {number: form}, status=422)


@require_POST
def put_by(request: BookRequest, number: int) -> HttpResponse:
    """Say that a waiting record is not to be kept."""
    form = ReasonForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    duty.put_by(number, reason, actor=request.holder.actor)
    messages.success(request, "Put by. The book’s account of deeds keeps it with your reason.")
    return redirect("demonstrations-waiting")


@require_POST
def both_stand(request: BookRequest, number: int) -> HttpResponse:
    """Say that two records both stand, though the later one does not meet the rule of tries any more."""
    form = ReasonForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    let_stand(number, reason, actor=request.holder.actor)
    messages.success(request, "Both stand. The book’s account of deeds keeps your reason.")
    return redirect("demonstrations-waiting")


def _page(request: BookRequest, forms: dict[int, TakeForm] | None = None, status: int = 200) -> HttpResponse:
    records = [_row(event, (forms or {}).get(event.pk)) for event in duty.waiting()]
    page = {"records": records, "clashes": [_clash(event) for event in clashes()]}
    return render(request, "training/demonstrations/waiting.html", page, status=status)


def _clash(event: Clash) -> dict[str, object]:
    two = [(record, OUTCOME_WORDS[record.outcome]) for record in (event.earlier, event.record)]
    return {"event": event, "two": two, "reason": ReasonForm(auto_id=f"both-{event.pk}-%s")}


def _row(event: Event, form: TakeForm | None) -> dict[str, object]:
    payload = event.data["payload"]
    return {
        "event": event,
        "person": _person_name(payload.get("person"))
        or str(payload.get("person_typed") or "somebody not named"),
        "assessor": _person_name(payload.get("assessor")) or "not said",
        "second": _person_name(payload.get("second")),
        "at": _moment(payload),
        "judged": _judged(payload),
        "rival": Demonstration.objects.filter(key=event.subject).first() if _is_key(event.subject) else None,
        "take": form or TakeForm(auto_id=f"take-{event.pk}-%s"),
        "put_by": ReasonForm(auto_id=f"put-by-{event.pk}-%s"),
    }


def _moment(payload: dict[str, object]) -> datetime | None:
    try:
        return moment(payload.get("at"), timezone.now())
    except Refusal:
        return None


def _person_name(value: object) -> str:
    number = row_number(value)
    person = None if number is None else Person.objects.filter(pk=number).first()
    return person.shown if person else ""


def _judged(payload: dict[str, object]) -> str:
    try:
        return judge(find_checklist(row_number(payload.get("checklist")) or 0).steps, marks(payload)).sentence
    except Refusal:
        return "Its marks cannot be read."


def _is_key(text: str) -> bool:
    try:
        return bool(UUID(text))
    except ValueError:
        return False
