"""The session plan on paper: visits day by day to pin up, then pages with names for the educator only."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import cast

from browline import display
from browline.paper.layout import clock, region
from browline.paper.pdf import write_typeset
from browline.services.training.visit_plan.naming import joined
from browline.services.training.visit_plan.plan_view import Left, Shown
from browline.services.training.visit_plan.visits import ShownVisit, Stands

CAUTION = (
    "This plan supports teaching; it does not replace the ward's own judgement of whom it can spare. A patient who "
    "looks ill is escalated whatever the number says."
)
ABOUT = (
    "Come when your patients allow it: a few minutes each, a few at a time, on the ward. Whoever misses a visit has "
    "another chance."
)

PROPOSALS = "What is marked as proposed is not agreed yet and may change."


def write_session_plan(plan: Shown, choices: Mapping[str, object], path: Path | str) -> Path:
    """Write the plan to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("session_plan.typ", plan_laid_out(plan, choices), plan.made, Path(path))


def plan_laid_out(plan: Shown, choices: Mapping[str, object]) -> dict[str, object]:
    """The plan as nested dicts of texts; `choices` are those in force (hospital, owner, paper)."""
    hospital, owner, paper = (cast(str, choices[name]) for name in ("hospital", "owner", "paper"))
    period = f"{display.day(plan.options.first_day)} to {display.day(plan.last)}"
    return {
        "title": "Thermometer teaching on the wards",
        "author": hospital or "browline",
        "description": f"Visits from {period}",
        "masthead": " · ".join(filter(None, (hospital, period))),
        "about": ABOUT,
        "answers": f"Questions, or a time that does not suit: {owner}." if owner else "",
        "days": [_day(day, visits) for day, visits in plan.days],
        "proposals": PROPOSALS if any(v.stands == Stands.PROPOSED for v in plan.visits) else "",
        "names_title": "For the educator only: who is called",
        "sentences": [*plan.sentences, *plan.missing],
        "names": [_names(visit) for visit in plan.visits],
        "once": "" if not plan.once else f"One chance only: {joined(plan.once)}.",
        "left": [_unplaced(group) for group in plan.left],
        "not_counted": [f"{group.reason}: {joined(group.people)}" for group in plan.not_counted],
        "gaps": [f"{gap.ward}, {gap.shift}: {gap.said}" for gap in plan.gaps],
        "foot": f"Session plan {plan.number} · made {clock(plan.made)}",
        "caution": CAUTION,
        "paper": paper,
        "region": region(paper),
    }  # fmt: skip


def _day(day: date, visits: list[ShownVisit]) -> dict[str, object]:
    return {"day": f"{day:%A} {display.day(day)}", "visits": [_line(visit) for visit in visits]}


def _line(visit: ShownVisit) -> dict[str, str]:
    return {
        "time": display.time_of_day(visit.time),
        "ward": visit.ward,
        "minutes": f"{visit.minutes} min",
        "places": f"{visit.places} place{'s' * (visit.places != 1)}" if visit.as_planned else "",
        "stands": f"moved from {visit.was}" if visit.stands == Stands.MOVED else visit.stands.value,
    }


def _names(visit: ShownVisit) -> dict[str, str]:
    return {
        "when": f"{display.weekday(visit.time)} {display.day(visit.day)} {display.time_of_day(visit.time)}",
        "ward": visit.ward,
        "expected": display.decimal(visit.expected) if visit.as_planned else "",
        "first": joined(visit.first) or ("nobody" if visit.as_planned else f"{visit.stands}; plan again"),
        "again": joined(visit.again),
    }


def _unplaced(group: Left) -> dict[str, object]:
    beside = [f"{name} (works most beside {helper})" if helper else name for name, helper in group.people]
    return {"why": group.reason.sentence, "people": joined(beside)}
