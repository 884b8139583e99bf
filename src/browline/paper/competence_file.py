"""One person's record on paper: who can do what, seen by whom and by what right, and what is not documented.

The first page answers in a minute; the earlier observations follow in full.
"""

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import cast

from browline.competency.explain import day, standing_sentence
from browline.competency.judging import MARKS
from browline.paper.layout import clock, region
from browline.paper.pdf import write_typeset
from browline.services.book.clock import ward_zone
from browline.services.book.preferences import choice
from browline.services.training.demonstrations.reading import OUTCOME_WORDS
from browline.services.training.record import Amendment, Assessor, BroughtIn, Entry, Record

CAUTION = (
    "This record says what was observed. It does not say how somebody works on another day, and it diagnoses nothing. "
    "Local policy and licensed judgement come first; a patient who looks ill is escalated whatever the number says."
)
NOT_SAID = "not said"


def write_competence_file(record: Record, gaps: Sequence[str], created: datetime, path: Path | str) -> Path:
    """Write the record to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("competence_file.typ", record_laid_out(record, gaps, created), created, Path(path))


def record_laid_out(record: Record, gaps: Sequence[str], created: datetime) -> dict[str, object]:
    """The record as nested dicts of texts."""
    paper, who = choice("paper"), record.person
    return {
        "title": f"{record.skill}: record of {who.shown}",
        "author": record.hospital or "browline",
        "masthead": " · ".join(filter(None, (record.hospital, "record of competence", "confidential"))),
        "about": f"Where {who.shown} stands on {day(record.today)}, and what that rests on.",
        "stands": standing_sentence(record.standing),
        "person": _facts(
            ("Person", who.shown),
            ("Staff identifier", who.identifier),
            ("Role", who.role),
            ("Unit", who.ward),
            ("Skill", record.skill),
            ("A sign-off holds", f"{record.rule.months} months"),
        ),
        "gaps": list(gaps),
        "entries": [_entry(entry) for entry in record.entries],
        "brought_in": [_brought_in(entry) for entry in record.brought_in],
        "attended": [f"{day(when)}{f', {ward}' if ward else ''}" for when, ward in record.attended],
        "entitled": [f"{right.qualification}, {_span(right.start, right.end)}" for right in record.entitled],
        "caution": CAUTION,
        "foot": f"{who.shown} · as of {day(record.today)} · made {_clock(created)}",
        "paper": paper,
        "region": region(paper),
    }


def _clock(moment: datetime) -> str:
    """Every time of one sheet is told by one clock, the hospital's."""
    return clock(moment.astimezone(ward_zone()))


def _facts(*pairs: tuple[str, str]) -> list[dict[str, str]]:
    return [{"name": name, "value": value or NOT_SAID} for name, value in pairs]


def _entry(e: Entry) -> dict[str, object]:
    outcome = OUTCOME_WORDS.get(e.outcome, e.outcome)
    return {
        "title": f"{day(e.day)}: {outcome}",
        "facts": _facts(
            ("Try", str(e.attempt)),
            ("Method", e.method),
            ("Checklist", f"version {e.checklist}, {e.version}"),
            ("Unit", e.ward),
            ("Instrument", e.instrument),
        ),
        "critical": _steps(e, critical=True),
        "others": _steps(e, critical=False),
        "assessors": [_assessor(a) for a in (e.assessor, e.second) if a is not None],
        "left": "; ".join(step.name for step in e.left),
        "taught": e.taught,
        "withdrawn": e.withdrawn,
        "amendments": [_amendment(a) for a in e.amendments],
    }


def _steps(e: Entry, *, critical: bool) -> list[dict[str, str]]:
    return [
        {"name": step.name, "mark": MARKS.get(mark, mark)}
        for step, mark in e.steps
        if step.critical == critical
    ]


def _assessor(a: Assessor) -> dict[str, str]:
    by_right = (
        f"{a.qualification}, {_span(cast(date, a.start), a.end)}"
        if a.qualification
        else "not entered for that day"
    )
    return {
        "name": ", ".join(filter(None, (a.name, a.role))),
        "right": by_right,
        "own": standing_sentence(a.own),
    }


def _span(start: date, end: date | None) -> str:
    return f"from {day(start)} {f'to {day(end)}' if end else 'until further notice'}"


def _amendment(a: Amendment) -> str:
    outcomes = f"{a.before}, then {a.after}" if a.before != a.after else f"{a.after} as before"
    return f"Amended {_clock(a.at)} by {a.actor}: {a.reason} ({outcomes})."


def _brought_in(entry: BroughtIn) -> dict[str, object]:
    return {
        "said": f"{day(entry.day)}: {OUTCOME_WORDS[entry.outcome]}{f', {entry.ward}' if entry.ward else ''}",
        "assessor": _assessor(entry.assessor) if entry.assessor else None,
    }
