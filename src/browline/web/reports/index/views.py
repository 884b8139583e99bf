"""Make a report of the last review, and hand out those that were made."""

from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from browline.intake import can_answer
from browline.roles import EDUCATOR
from browline.services.book import jobs, preferences
from browline.services.imports import receipts
from browline.store.models import Import, last_whole_review
from browline.web.current_book import current_book
from browline.web.reports.index.forms import ReportForm
from browline.web.request import BookRequest


@require_GET
def reports(request: BookRequest) -> HttpResponse:
    """Reports made so far, and a form to make one."""
    return _page(
        request, ReportForm(initial={"paper": preferences.choice("paper"), "formats": ["pdf", "html"]})
    )


def _page(request: BookRequest, form: ReportForm, status: int = 200) -> HttpResponse:
    page = {"review": last_whole_review(), "written": _written(), "form": form}
    return render(request, "reports/index/reports.html", page, status=status)


def _files() -> list[Path]:
    """Every report in the book's folder; one whose name begins with a dot is still being written."""
    return [f for f in current_book().reports.iterdir() if f.is_file() and not f.name.startswith(".")]


def _written() -> list[dict[str, object]]:
    """What was written and when, newest first."""
    facts = [(f, f.stat()) for f in _files()]
    newest = sorted(facts, key=lambda fact: fact[1].st_mtime, reverse=True)
    return [
        {"name": f.name, "size": s.st_size, "at": datetime.fromtimestamp(s.st_mtime, UTC)} for f, s in newest
    ]


@require_POST
def make(request: BookRequest) -> HttpResponse:
    """Start writing a report of the last review."""
    form = ReportForm(request.POST)
    if not form.is_valid():
        return _page(request, form, status=422)
    arguments = {"formats": form.cleaned_data["formats"], "paper": form.cleaned_data["paper"]}
    return redirect("work", number=jobs.start(current_book(), "report", {**arguments, "actor": EDUCATOR}).pk)


@require_GET
def download(request: BookRequest, name: str) -> FileResponse:
    """One written report, as a file to keep: never shown as a page of ours."""
    path = _report_named(name)
    return FileResponse(path.open("rb"), as_attachment=True, filename=path.name)


def _report_named(name: str) -> Path:
    for file in _files():
        if file.name == name:
            return file
    raise Http404


@require_GET
def request_page(request: BookRequest) -> HttpResponse:
    """One page to print and hand to the data team."""
    requests = receipts.book_answers()["requests"]
    if not Import.objects.in_force().filter(kind="readings").exists():
        requests = [asdict(missing) for missing in can_answer({"readings": ()}).requests]
    return render(request, "reports/index/request.html", {"asked": requests})
