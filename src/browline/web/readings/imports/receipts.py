"""What became of every row of a file, and taking things back."""

from datetime import datetime

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from browline.columns import IMPORT_KINDS
from browline.intake import REASONS, REPAIRS, can_answer
from browline.paper import set_aside_sheet
from browline.roles import EDUCATOR
from browline.services.imports import doubtful_dates
from browline.services.imports import set_aside as setaside
from browline.services.imports import undo as undoing
from browline.store.models import Import
from browline.web.current_book import current_book
from browline.web.downloads import spreadsheet
from browline.web.filters import moment
from browline.web.request import BookRequest

ROWS_SHOWN = 50
# Told in words, or pseudonyms that say nothing to a reader; the spreadsheet has them all.
KEPT_BACK = ("row", "reason", "sentence", "patient", "stay", "person")


@require_GET
def receipt(request: BookRequest, number: int) -> HttpResponse:
    """The receipt of one import."""
    taken = get_object_or_404(Import, pk=number)
    answers = can_answer({taken.kind: taken.mapping.get("filled", ())})
    page = {
        "receipt": taken,
        "kind": IMPORT_KINDS[taken.kind],
        "reasons": _reasons_and_repairs(taken),
        "can_answer": answers.can_answer,
        "cannot_answer": answers.cannot_answer,
        "why_dates": doubtful_dates.WHY if taken in doubtful_dates.doubtful_dates(current_book()) else "",
    }
    return render(request, "readings/imports/receipt.html", page)


def _reasons_and_repairs(taken: Import) -> list[dict[str, object]]:
    """Why rows were set aside or repaired, in words; a repair may have been taken back."""
    undone = set(taken.undone_repairs.values_list("code", flat=True))
    sentences = REASONS | REPAIRS
    return [
        {
            **counted,
            "sentence": sentences.get(counted["code"], counted["code"]),
            "repair": counted["role"] == "repair",
            "undone": counted["code"] in undone,
        }
        for counted in taken.reasons
    ]


@require_GET
def set_aside(request: BookRequest, number: int) -> HttpResponse:
    """The rows that were set aside, each with its number and reason."""
    taken = get_object_or_404(Import, pk=number)
    rows = setaside.set_aside_rows(current_book(), number)
    fields = [name for name in (rows[0] if rows else {}) if name not in KEPT_BACK]
    lines = [
        {"number": row["row"], "sentence": row["sentence"], "cells": [_cell(row, field) for field in fields]}
        for row in rows[:ROWS_SHOWN]
    ]
    page = {"receipt": taken, "rows": lines, "total": len(rows), "fields": fields}
    return render(request, "readings/imports/set_aside.html", page)


def _cell(row: dict[str, object], field: str) -> tuple[str, object]:
    value = row[field]
    if field != "time":
        return field, value
    return field, moment(value if isinstance(value, datetime | str) else None)


@require_GET
def set_aside_list(request: BookRequest, number: int) -> HttpResponse:
    """All of them as a spreadsheet."""
    get_object_or_404(Import, pk=number)
    rows = setaside.set_aside_rows(current_book(), number)
    return spreadsheet(set_aside_sheet(rows), f"set-aside-{number}.xlsx")


@require_POST
def undo(request: BookRequest, number: int) -> HttpResponse:
    """Take an import back."""
    get_object_or_404(Import.objects.in_force(), pk=number)
    undoing.undo_import(number, EDUCATOR)
    messages.success(request, "Taken back. Its readings no longer count; review again to see what changes.")
    return redirect("receipt", number=number)


@require_POST
def dates_are_right(request: BookRequest, number: int) -> HttpResponse:
    """She has looked at the dates of an import of an earlier version: they are right."""
    get_object_or_404(Import.objects.in_force(), pk=number)
    doubtful_dates.say_dates_are_right(number, EDUCATOR)
    messages.success(request, "Noted: the dates of this import are right.")
    return redirect("receipt", number=number)


@require_POST
def restore_repair(request: BookRequest, number: int, code: str) -> HttpResponse:
    """Make a repair count again."""
    get_object_or_404(Import.objects.in_force(), pk=number)
    undoing.restore_repair(number, code, EDUCATOR)
    messages.success(request, "The repair counts again.")
    return redirect("receipt", number=number)


@require_POST
def undo_repair(request: BookRequest, number: int, code: str) -> HttpResponse:
    """Take one repair of an import back; its rows count as set aside from then on."""
    get_object_or_404(Import.objects.in_force(), pk=number)
    undoing.undo_repair(number, code, EDUCATOR)
    messages.success(request, "The repair was taken back; its rows now count as set aside.")
    return redirect("receipt", number=number)
