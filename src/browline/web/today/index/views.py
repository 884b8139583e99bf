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
from browline.web.charts import Chart, chart_of
from browline.web.current_book import current_book
from browline.web.downloads import spreadsheet
from browline.web.request import BookRequest
from browline.web.today.index.forms import OutcomeForm, ReviewForm
from browline.web.today.index.tasks import Errand, errand, soonest_first

ROWS_SHOWN = 60


@require_GET
def today(request: BookRequest) -> HttpResponse:
    """Things to do; how to begin where the book is empty; what the book cannot know."""
    asked = {"agenda": agenda(current_book(), timezone.localtime())}
    if not Import.objects.in_force().exists():
        return render(request, "today/index/begin.html", asked)
    review = last_whole_review()
    if review is None:
        return render(request, "today/index/unreviewed.html", {**asked, "form": ReviewForm()})
    return render(request, "today/index/today.html", {**asked, **_today(request, review)})


def _today(request: BookRequest, review: Review) -> dict[str, object]:
    findings = people.shown(_findings(), request, review)
    now = timezone.localdate()
    flagged, checked, confirmed = outcomes.confirmed_share()
    return {
        "review": review,
        "to_do": soonest_first(errand(f, now) for f in findings if f.open),
        "gone": findings.filter(state=Finding.GONE),
        "closed": findings.filter(state=Finding.CLOSED),
        "withdrawn": findings.filter(state=Finding.WITHDRAWN),
        "flagged": flagged,
        "checked": checked,
        "confirmed": confirmed,
        "cannot_know": [*review.document.limits, *review.document.supplement.cannot_answer],
        "newer_files": imports_after(review),
        "people_kept_back": people.may_show_people(review) and not people.asked_for_people(request),
        "people_not_listed": people.not_listed(review),
        "people_shown": people.may_show_people(review) and people.asked_for_people(request),
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
    found = people.fetch_shown(_findings(), request, number)
    return _finding_page(request, found, OutcomeForm(subject=found.subject_type))


def _finding_page(request: BookRequest, found: Finding, form: OutcomeForm, status: int = 200) -> HttpResponse:
    page = _evidence(errand(found, timezone.localdate()))
    return render(request, "today/index/finding.html", {**page, "form": form}, status=status)


def _evidence(task: Errand) -> dict[str, object]:
    found, review = task.finding, task.finding.last_review
    book = current_book()
    return {
        "errand": task,
        "finding": found,
        "data": found.data,
        "why": why(found.document, review.document, choice("show_unit")),
        "opens": opens_to_readings(found),
        "chart": _chart(book, found),
        "behind": look_back.look_back(book, found),
        "rows_shown": ROWS_SHOWN,
        "about_person": found.subject_type == "person",
        "opening": people.OPENING,
        "shared_log_in": people.SHARED_LOG_IN,
        "ward_names": wards.names(last_whole_review()),
        "query": "?people=1" if found.subject_type == "person" else "",
    }


def _chart(book: Book, found: Finding) -> Chart | None:
    """Weeks against the comparator, where the finding is about a temperature and not about charting."""
    if found.data.get("unit") != "C":
        return None
    return chart_of(book, found.subject_type, found.subject_id, found.data.get("since"))


@require_GET
def behind(request: BookRequest, number: int) -> HttpResponse:
    """The readings behind one finding, newest first, a page at a time."""
    found = people.fetch_shown(_findings(), request, number)
    if not opens_to_readings(found):
        raise Http404
    asked = request.GET.get("page", "1")
    at = max(1, int(asked)) if asked.isdecimal() and len(asked) < 6 else 1
    count, rows = readings_behind(current_book(), found, at)
    page = {
        "errand": errand(found, timezone.localdate()),
        "finding": found,
        "count": count,
        "rows": rows,
        "first": PAGE * (at - 1) + 1,
        "last": PAGE * (at - 1) + len(rows),
        "newer": at - 1,
        "older": at + 1 if PAGE * at < count else None,
        "by_lens": found.subject_type == "instrument" and any(r.clean_days is not None for r in rows),
    }
    return render(request, "today/index/behind.html", page)


@require_POST
def outcome(request: BookRequest, number: int) -> HttpResponse:
    """Enter what a check of a finding showed."""
    found = people.fetch_shown(_findings(), request, number)
    form = OutcomeForm(request.POST, subject=found.subject_type)
    if not form.is_valid():
        return _finding_page(request, found, form, status=422)
    outcomes.record_outcome(found.pk, form.cleaned_data["code"], form.cleaned_data["note"], EDUCATOR)
    messages.success(request, "Entered. Thank you: it shows how often a flag is right.")
    query = "?people=1" if found.subject_type == "person" else ""
    return redirect(reverse("finding", args=[number]) + query)


@require_GET
def look_back_list(request: BookRequest, number: int) -> HttpResponse:
    """The row numbers of the readings behind a finding, as a spreadsheet."""
    found = people.fetch_shown(_findings(), request, number)
    behind = look_back.look_back(current_book(), found)
    return spreadsheet(
        look_back_sheet(found.subject_id, behind.files, found.withdrawn), f"look-back-{number}.xlsx"
    )
