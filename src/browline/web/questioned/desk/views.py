"""The desk: questions typed and answered on one page. What is typed travels in the body of a request, kept nowhere."""

from collections.abc import Iterator

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from browline.documents.recheck import StepRow
from browline.errors import Refusal
from browline.roles import ASSESSOR, EDUCATOR, PERSON
from browline.services.questioned import at_bedside
from browline.services.questioned.desk import answer, desk_of_book
from browline.services.questioned.document import answer_document
from browline.site_choice import ESCALATE
from browline.store.models import Instrument
from browline.web.access import open_to
from browline.web.questioned.desk.forms import MOST, Lines, QuestionForm, ReadingLines, with_more_lines
from browline.web.questioned.desk.interval_drawing import drawing
from browline.web.request import BookRequest

SHOWN = 3


@open_to(ASSESSOR, PERSON)
@require_http_methods(["GET", "HEAD", "POST"])
def desk(request: BookRequest) -> HttpResponse:
    """The questions, and their answer once posted; to those who measure only while it is on at the bedside."""
    switch = at_bedside.standing(timezone.localtime())
    if request.holder.role != EDUCATOR and not switch.on:
        return render(request, "account/login/not_yours.html", status=403)
    more = "more" in request.POST
    posted = with_more_lines(request.POST) if more else request.POST or None
    lines, form = ReadingLines(posted), QuestionForm(posted)
    page: dict[str, object] = {"escalate": ESCALATE, "switch": switch}
    if posted is not None and not more:
        page |= _answered(lines, form)
    if request.htmx:
        return render(request, "questioned/desk/answered.html", page)
    names = Instrument.objects.listed().values_list("name", flat=True)
    page |= {"lines": lines, "form": form, "full": len(lines.forms) >= MOST, "register": names}
    return render(request, "questioned/desk/desk.html", page, status=422 if page.get("wrong") else 200)


def _answered(lines: Lines, form: QuestionForm) -> dict[str, object]:
    """The answer with its drawing, or what is wrong in words."""
    if not (lines.is_valid() & form.is_valid()):
        return {"wrong": list(_wrong(lines, form))}
    case = form.case(lines)
    if not case["readings"]:
        return {"wrong": ["Enter a reading, and choose where it was read."]}
    try:
        reply = answer(case, desk_of_book(timezone.localdate()))
    except Refusal as refusal:
        return {"wrong": [str(refusal)]}
    document = answer_document(reply)
    return {
        "answer": document,
        "band": None if reply.result is None else drawing(reply.problem, reply.result, reply.unit),
        "steps": _steps(document.steps),
        "from_book": any(source.of_the_book for source in document.sources),
    }


def _steps(steps: tuple[StepRow, ...]) -> dict[str, list[StepRow]]:
    """The steps worth most, the others, and those that must not be taken."""
    open_ = [step for step in steps if not step.barred]
    return {
        "first": open_[:SHOWN],
        "further": open_[SHOWN:],
        "barred": [step for step in steps if step.barred],
    }


def _wrong(lines: Lines, form: QuestionForm) -> Iterator[str]:
    """Every fault with the place where it stands."""
    for number, line in enumerate(lines.forms, start=1):
        for name, faults in line.errors.items():
            label = str(line.fields[name].label) if name in line.fields else ""
            yield f"Reading {number}, {label.lower()}: {' '.join(map(str, faults))}"
    yield from (str(fault) for fault in lines.non_form_errors())
    for name, faults in form.errors.items():
        yield f"{form.fields[name].label}: {' '.join(map(str, faults))}"
