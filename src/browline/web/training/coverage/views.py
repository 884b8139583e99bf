"""Who can do it: on duty at a moment, and by ward, kind of shift and role.

Names are fetched for those who teach, and who assess today, only. Everybody else gets the cells without small numbers,
of fixed weeks: two moments chosen freely would tell one person's standing by their difference.
"""

from datetime import date, datetime

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.competency.cells import suppressed
from browline.competency.coverage import Coverage
from browline.competency.explain import (
    NO_ROLE,
    NO_WARD,
    line_sentences,
    shift_kind_words,
    suppressed_sentence,
)
from browline.paper import Sheet
from browline.roles import ASSESSOR, EDUCATOR, VIEWER
from browline.services.training import coverage
from browline.services.training.demonstrations.assessors import may_see_names
from browline.web.access import open_to
from browline.web.downloads import spreadsheet
from browline.web.request import BookRequest
from browline.web.training.coverage.forms import MomentForm, shifts_near
from browline.web.training.coverage.rows import FIRST_CELLS, cell_row, on_duty


@open_to(ASSESSOR, VIEWER)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page: names for those who teach and assess, cells for the rest."""
    if not _sees_names(request):
        return _without_names(request)
    time, form = _moment(request)
    first, last, covered = _weeks()
    cells = [cell_row(c) for c in covered.cells]
    page = {
        "at": time,
        "asked": timezone.localtime(time).replace(tzinfo=None).isoformat(timespec="minutes"),
        "form": form,
        "shifts": shifts_near(timezone.now()),
        "on_duty": on_duty(coverage.tonight(time)),
        "first": first,
        "last": last,
        "lines": line_sentences(covered),
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


def _without_names(request: BookRequest) -> HttpResponse:
    first, last, covered = _weeks()
    rows = [
        {"cell": v, "told": suppressed_sentence(v), "kind": shift_kind_words(v.kind)}
        for v in suppressed(covered.cells)
    ]
    return render(request, "training/coverage/cells.html", {"first": first, "last": last, "rows": rows})


def _weeks() -> tuple[date, date, Coverage]:
    today = timezone.localdate()
    first, last = coverage.four_weeks(today)
    return first, last, coverage.cells(first, last, today)


def _moment(request: BookRequest) -> tuple[datetime, MomentForm]:
    """The moment asked for, else the coming night."""
    coming = coverage.coming_night(timezone.now())
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
    time, form = _moment(request)
    if form.errors:
        return index(request)
    staffing = on_duty(coverage.tonight(time))
    rows = [(r.name, r.ward, r.kind, r.role, answer, r.stands) for answer, line in
            (("no", staffing.others), ("yes", staffing.signed_off)) for r in line]  # fmt: skip
    rows += [(name, "", "", "", word, reason) for word, line in
             (("excluded", staffing.excluded), ("unknown", staffing.unknown)) for name, reason in line]  # fmt: skip
    headings = ("name", "ward", "shift", "role", "signed off", "why")
    return spreadsheet(
        Sheet("on duty", headings, rows), f"on-duty-{timezone.localtime(time):%Y-%m-%d-%H%M}.xlsx"
    )


@open_to(ASSESSOR, VIEWER)
@require_GET
def cells_sheet(request: BookRequest) -> HttpResponse:
    """The cells as a spreadsheet, without small numbers for those who see no names."""
    first, _, covered = _weeks()
    name = f"who-can-do-it-{first}.xlsx"
    if not _sees_names(request):
        masked_rows = [(v.ward or NO_WARD, shift_kind_words(v.kind), v.role or NO_ROLE, suppressed_sentence(v))
                for v in suppressed(covered.cells)]  # fmt: skip
        return spreadsheet(Sheet("cells", ("ward", "shift", "role", "signed off"), masked_rows), name)
    headings = ("ward", "shift", "role", "eligible", "signed off", "share", "low", "high", "never observed",
                "not yet", "overdue")  # fmt: skip
    rows = [
        (c.ward or NO_WARD, shift_kind_words(c.kind), c.role or NO_ROLE, c.n, c.signed_off, c.share, c.low, c.high,
         c.never, c.not_yet, c.overdue)
        for c in covered.cells
    ]  # fmt: skip
    return spreadsheet(Sheet("cells", headings, rows), name)
