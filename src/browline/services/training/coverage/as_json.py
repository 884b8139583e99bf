"""The coverage of a moment and of four weeks as plain JSON, with names: for the educator, on her own computer."""

from datetime import datetime

from browline.competency.cells import Cell
from browline.competency.coverage import EXCLUDED, UNKNOWN, Coverage
from browline.competency.explain import cell_sentence, line_sentences, standing_sentence
from browline.competency.staff import Counted
from browline.services.book.clock import local_day
from browline.services.training import coverage

FORMAT = "browline-coverage/1"


def coverage_json(at: datetime) -> dict[str, object]:
    """Who is on duty `at`, an aware moment, and the cells of the four weeks around it, most left to see first."""
    today = local_day(at)
    first, last = coverage.four_weeks(today)
    weeks = coverage.cells(first, last, today)
    return {
        "format": FORMAT,
        "at": at.isoformat(),
        "on_duty": _on_duty(coverage.tonight(at)),
        "weeks": {
            "first": first.isoformat(),
            "last": last.isoformat(),
            "lines": list(line_sentences(weeks)),
            "cells": [_cell(c) for c in weeks.cells],
        },
    }


def _on_duty(found: Coverage) -> dict[str, object]:
    others = (found.excluded, found.unknown)
    names = coverage.names([m.person for m in found.people] + [m.person for line in others for m, _ in line])
    rows = [_person(c, names[c.member.person]) for c in found.eligible if not c.signed_off]
    return {
        "lines": list(line_sentences(found)),
        "eligible": len(found.people),
        "signed_off": found.signed_off,
        "not_signed_off": sorted(rows, key=lambda row: (row["ward"], row["name"])),
        "excluded": [{"name": names[m.person], "reason": EXCLUDED[reason]} for m, reason in found.excluded],
        "unknown": [{"name": names[m.person], "reason": UNKNOWN[reason]} for m, reason in found.unknown],
    }


def _person(c: Counted, name: str) -> dict[str, str]:
    return {
        "name": name,
        "ward": c.ward,
        "shift": c.kind,
        "role": c.member.role,
        "standing": c.member.standing.stands.value,
        "sentence": standing_sentence(c.member.standing),
    }


def _cell(c: Cell) -> dict[str, object]:
    return {
        "ward": c.ward,
        "shift": c.kind,
        "role": c.role,
        "eligible": c.n,
        "signed_off": c.signed_off,
        "low": c.low,
        "high": c.high,
        "sentence": cell_sentence(c),
    }
