"""Who can do it: on duty at a moment, and by ward, kind of shift and role.

Names are fetched for those who teach, and who assess today, only. Everybody else gets the cells without small numbers,
of fixed weeks: two moments chosen freely would tell one person's standing by their difference.
"""

from datetime import datetime

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.competency.explain import NO_ROLE, NO_WARD, shift_kind_words
from browline.documents.coverage import CoverageDocument, SuppressedCoverage
from browline.paper import Sheet
from browline.roles import ASSESSOR, EDUCATOR, VIEWER
from browline.services.training.coverage import coming_night
from browline.services.training.coverage.document import coverage_document, coverage_without_names
from browline.services.training.demonstrations.assessors import may_see_names
from browline.web.access import open_to
from browline.web.downloads import spreadsheet
from browline.web.request import BookRequest
from browline.web.training.coverage.forms import MomentForm, shifts_near
from browline.web.training.coverage.rows import FIRST_CELLS, cell_lines, cell_rows, on_duty


@open_to(ASSESSOR, VIEWER)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page: names for those who teach and assess, cells for the rest."""
    if not _sees_names(request):
        return _without_names(request)
    moment, form = _moment(request)
    document = _with_names(moment)
    cells = cell_rows(document)
    page = {
        "at": moment,
        "asked": timezone.localtime(moment).replace(tzinfo=None).isoformat(timespec="minutes"),
        "form": form,
        "shifts": shifts_near(timezone.now()),
        "on_duty": on_duty(document),
        "weeks": document.weeks,
        "cells": cells[:FIRST_CELLS],
        "further": cells[FIRST_CELLS:],
    }
    return render(
        request, "training/coverage/index.html", page, status=422 if form.is_bound and form.errors else 200
    )


def _sees_names(request: BookRequest) -> bool:
    """The educator, and an assessor on the days of the entitlement; everybody else sees cells."""
    holder = request.holder
    entitled = holder.role == ASSESSOR and may_see_names(holder.person, timezone.localdate())
    return bool(holder.role == EDUCATOR or entitled)


def _with_names(moment: datetime) -> CoverageDocument:
    return coverage_document(moment, timezone.localdate())


def _without_names(request: BookRequest) -> HttpResponse:
    weeks = coverage_without_names(timezone.localdate())
    rows = [{"cell": cell, "kind": shift_kind_words(cell.shift)} for cell in weeks.cells]
    return render(request, "training/coverage/cells.html", {"weeks": weeks, "rows": rows})


def _moment(request: BookRequest) -> tuple[datetime, MomentForm]:
    """The moment asked for, else the coming night."""
    coming = coming_night(timezone.now())
    if "at" not in request.GET:
        return coming, MomentForm(initial={"at": coming})
    form = MomentForm(request.GET)
    return (form.cleaned_data["at"] if form.is_valid() else coming), form


@open_to(ASSESSOR)
@require_GET
def on_duty_sheet(request: BookRequest) -> HttpResponse:
    """Who is on duty and where they stand, as a spreadsheet."""
    if not _sees_names(request):
        return render(request, "account/login/not_yours.html", status=403)
    moment, form = _moment(request)
    if form.errors:
        return index(request)
    duty = on_duty(_with_names(moment))
    rows = [(r.name, r.ward, r.kind, r.role, answer, r.stands) for answer, line in
            (("no", duty.others), ("yes", duty.signed_off)) for r in line]  # fmt: skip
    rows += [(name, "", "", "", word, reason) for word, line in
             (("excluded", duty.excluded), ("unknown", duty.unknown)) for name, reason in line]  # fmt: skip
    headings = ("name", "ward", "shift", "role", "signed off", "why")
    return spreadsheet(
        Sheet("on duty", headings, rows), f"on-duty-{timezone.localtime(moment):%Y-%m-%d-%H%M}.xlsx"
    )


@open_to(ASSESSOR, VIEWER)
@require_GET
def cells_sheet(request: BookRequest) -> HttpResponse:
    """The cells as a spreadsheet, without small numbers for those who see no names."""
    if not _sees_names(request):
        return _suppressed_sheet(coverage_without_names(timezone.localdate()))
    document = _with_names(timezone.now())
    headings = ("ward", "shift", "role", "eligible", "signed off", "share", "low", "high", "never observed",
                "not yet", "overdue")  # fmt: skip
    return spreadsheet(Sheet("cells", headings, cell_lines(document)), _sheet_name(document.weeks.first))


def _suppressed_sheet(weeks: SuppressedCoverage) -> HttpResponse:
    rows = [(cell.ward or NO_WARD, shift_kind_words(cell.shift), cell.role or NO_ROLE, cell.sentence)
            for cell in weeks.cells]  # fmt: skip
    return spreadsheet(
        Sheet("cells", ("ward", "shift", "role", "signed off"), rows), _sheet_name(weeks.first)
    )


def _sheet_name(first: str) -> str:
    return f"who-can-do-it-{first}.xlsx"
