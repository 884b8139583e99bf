"""Today, and the page of each finding."""

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from browline.paper import look_back_sheet
from browline.roles import EDUCATOR
from browline.services.agenda import agenda
from browline.services.book import jobs
from browline.services.book.event_order import imports_after
from browline.services.book.preferences import choice
from browline.services.review import look_back, outcomes, wards
from browline.services.review.model_part import why
from browline.services.review.readings_behind import PAGE, opens_to_readings, readings_behind
from browline.store.folder import Book
from browline.store.models import Finding, Import, Review, last_whole_review
from browline.web import people
from browline.web.charts import Chart, subject_chart
from browline.web.current_book import current_book
from browline.web.downloads import spreadsheet
from browline.web.request import BookRequest
from browline.web.today.index.forms import OutcomeForm, ReviewForm
from browline.web.today.index.tasks import FindingTask, finding_task, soonest_first

ROWS_SHOWN = 60


@require_GET
def today(request: BookRequest) -> HttpResponse:
    """Things to do; how to begin where the book is empty; what the book cannot know."""
    page = {"agenda": agenda(current_book(), timezone.localtime())}
    if not Import.objects.in_force().exists():
        return render(request, "today/index/begin.html", page)
    review = last_whole_review()
    if review is None:
        return render(request, "today/index/unreviewed.html", {**page, "form": ReviewForm()})
    return render(request, "today/index/today.html", {**page, **_today(request, review)})


def _today(request: BookRequest, review: Review) -> dict[str, object]:
    findings = people.visible_findings(_findings(), request, review)
    now = timezone.localdate()
    flagged, checked, confirmed = outcomes.confirmed_share()
    return {
        "review": review,
        "to_do": soonest_first(finding_task(f, now) for f in findings if f.open),
        "gone": findings.filter(state=Finding.GONE),
        "closed": findings.filter(state=Finding.CLOSED),
        "withdrawn": findings.filter(state=Finding.WITHDRAWN),
        "flagged": flagged,
        "checked": checked,
        "confirmed": confirmed,
        "cannot_know": [*review.document.limits, *review.document.supplement.cannot_answer],
        "newer_files": imports_after(review),
        "people_kept_back": people.may_show_people(review) and not people.people_requested(request),
        "people_not_listed": people.not_listed(review),
        "people_shown": people.may_show_people(review) and people.people_requested(request),
        "shared_log_in": people.SHARED_LOG_IN,
        "opening": people.OPENING,
        "form": ReviewForm(),
        "ward_names": wards.names(review),
        "audited": sum(w.n for w in wards.wards(review)),
        "untold": wards.untold(wards.wards(review)),
    }


def _findings() -> QuerySet[Finding]:
    return Finding.objects.select_related("first_review", "last_review").prefetch_related("outcomes")


@require_POST
def look_again(request: BookRequest) -> HttpResponse:
    """Start a review; it goes on when the page is closed."""
    arguments = {"people": "people" in request.POST, "actor": EDUCATOR}
    job = jobs.start(current_book(), "review", arguments)
    return redirect("work", number=job.pk)


@require_GET
def finding(request: BookRequest, number: int) -> HttpResponse:
    """One finding: what it says, why, what to do, the readings behind it, what came of it."""
    finding = people.fetch_visible(_findings(), request, number)
    return _finding_page(request, finding, OutcomeForm(subject=finding.subject_type))


def _finding_page(
    request: BookRequest, finding: Finding, form: OutcomeForm, status: int = 200
) -> HttpResponse:
    page = _evidence(finding_task(finding, timezone.localdate()))
    return render(request, "today/index/finding.html", {**page, "form": form}, status=status)


def _evidence(task: FindingTask) -> dict[str, object]:
    finding, review = task.finding, task.finding.last_review
    book = current_book()
    return {
        "task": task,
        "finding": finding,
        "data": finding.data,
        "why": why(finding.document, review.document, choice("show_unit")),
        "opens": opens_to_readings(finding),
        "chart": _chart(book, finding),
        "behind": look_back.look_back(book, finding),
        "rows_shown": ROWS_SHOWN,
        "about_person": finding.subject_type == "person",
        "opening": people.OPENING,
        "shared_log_in": people.SHARED_LOG_IN,
        "ward_names": wards.names(last_whole_review()),
        "query": "?people=1" if finding.subject_type == "person" else "",
    }


def _chart(book: Book, finding: Finding) -> Chart | None:
    """Weeks against the comparator, where the finding is about a temperature and not about charting."""
    if finding.data.get("unit") != "C":
        return None
    return subject_chart(book, finding.subject_type, finding.subject_id, finding.data.get("since"))


@require_GET
def behind(request: BookRequest, number: int) -> HttpResponse:
    """The readings behind one finding, newest first, a page at a time."""
    finding = people.fetch_visible(_findings(), request, number)
    if not opens_to_readings(finding):
        raise Http404
    page_text = request.GET.get("page", "1")
    page_number = max(1, int(page_text)) if page_text.isdecimal() and len(page_text) < 6 else 1
    count, rows = readings_behind(current_book(), finding, page_number)
    page = {
        "task": finding_task(finding, timezone.localdate()),
        "finding": finding,
        "count": count,
        "rows": rows,
        "first": PAGE * (page_number - 1) + 1,
        "last": PAGE * (page_number - 1) + len(rows),
        "newer": page_number - 1,
        "older": page_number + 1 if PAGE * page_number < count else None,
        "by_lens": finding.subject_type == "instrument" and any(r.clean_days is not None for r in rows),
    }
    return render(request, "today/index/behind.html", page)


@require_POST
def outcome(request: BookRequest, number: int) -> HttpResponse:
    """Enter what a check of a finding showed."""
    finding = people.fetch_visible(_findings(), request, number)
    form = OutcomeForm(request.POST, subject=finding.subject_type)
    if not form.is_valid():
        return _finding_page(request, finding, form, status=422)
    outcomes.record_outcome(finding.pk, form.cleaned_data["code"], form.cleaned_data["note"], EDUCATOR)
    messages.success(request, "Entered. Thank you: it shows how often a flag is right.")
    query = "?people=1" if finding.subject_type == "person" else ""
    return redirect(reverse("finding", args=[number]) + query)


@require_GET
def look_back_list(request: BookRequest, number: int) -> HttpResponse:
    """The row numbers of the readings behind a finding, as a spreadsheet."""
    finding = people.fetch_visible(_findings(), request, number)
    behind = look_back.look_back(current_book(), finding)
    return spreadsheet(
        look_back_sheet(finding.subject_id, behind.files, finding.withdrawn), f"look-back-{number}.xlsx"
    )
