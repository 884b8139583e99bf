"""The log of questioned readings: a line entered after the event, the lines, one taken back, a sheet on paper."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from browline.errors import NotUnderstood, Refusal
from browline.instruments.questioned import AGES, CAUSES, DEEDS, PARTS_OF_DAY, TAKEN_BACK
from browline.paper import write_questioned_log_sheet
from browline.roles import ASSESSOR, EDUCATOR
from browline.services.book.preferences import choice
from browline.services.questioned import log as duty
from browline.store.models import QuestionedReading
from browline.web.access import open_to
from browline.web.downloads import pdf
from browline.web.questioned.log.forms import LogForm, TakeBackForm
from browline.web.request import BookRequest

A_PAGE = 12


@open_to(ASSESSOR)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The lines, latest first: to the educator all of them, to an assessor their own."""
    lines = QuestionedReading.objects.select_related("taken_back").order_by("-week", "-id")
    if request.holder.role != EDUCATOR:
        lines = lines.filter(actor=request.holder.actor)
    page = Paginator(lines, A_PAGE).get_page(request.GET.get("page"))
    rows = [_line_row(line) for line in page]
    return render(
        request, "questioned/log/index.html", {"lines": rows, "page": page, "take_back": TakeBackForm()}
    )


def _line_row(line: QuestionedReading) -> dict[str, object]:
    taken = getattr(line, "taken_back", None)
    return {
        "line": line,
        "cause": CAUSES[line.cause],
        "others": [CAUSES[cause] for cause in line.others],
        "done": [DEEDS[deed] for deed in line.done],
        "part": PARTS_OF_DAY.get(line.part, ""),
        "age": AGES.get(line.age, ""),
        "values": [{**value, "accepted": place == line.accepted} for place, value in enumerate(line.values)],
        "taken_back": TAKEN_BACK[taken.reason] if taken else "",
    }


@open_to(ASSESSOR)
@require_http_methods(["GET", "HEAD", "POST"])
def new(request: BookRequest) -> HttpResponse:
    """The form of a line; one that asks for another row comes back with it and keeps nothing."""
    more = "more" in request.POST
    today = timezone.localdate()
    form = LogForm(request.POST if request.method == "POST" else None, today, keep_open=more)
    if not more and form.is_valid():
        try:
            entry = duty.log(form.line(), actor=request.holder.actor, today=today)
        except Refusal as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(
                request, "Logged. Thank you." if entry.new else "This line is in the log already."
            )
            return redirect("questioned-log")
    page = {"form": form, "more": more}
    return render(request, "questioned/log/new.html", page, status=422 if form.errors else 200)


@open_to(ASSESSOR)
@require_POST
def take_back(request: BookRequest, number: int) -> HttpResponse:
    """Say that a line should not count."""
    form, bearer = TakeBackForm(request.POST), request.holder
    if not form.is_valid():
        raise NotUnderstood("No reason was chosen.", "A line is taken back for a reason.", "Choose one.")
    duty.take_back(number, form.cleaned_data["reason"], actor=bearer.actor, own_only=bearer.role != EDUCATOR)
    messages.success(request, "Taken back. The line stays to be read and counts for nothing.")
    return redirect("questioned-log")


@open_to(ASSESSOR)
@require_GET
def blank_sheet(request: BookRequest) -> HttpResponse:
    """A sheet to fill by hand."""
    now, hospital, paper = timezone.localtime(), choice("hospital"), choice("paper")
    return pdf(
        lambda path: write_questioned_log_sheet(path, hospital=hospital, paper=paper, created=now),
        "questioned-readings-log.pdf",
    )
