"""`browline plan`: teaching visits that reach most people soonest."""

import sys
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from browline import display
from browline.cli.arguments import check_folder
from browline.cli.as_json import put_text
from browline.cli.progress import bar
from browline.documents.plan import plan_json
from browline.paper import write_session_plan
from browline.paper.calendar import plan_calendar
from browline.services.book.clock import ward_zone
from browline.services.book.preferences import choices
from browline.services.training.visit_plan import propose
from browline.services.training.visit_plan.options import options_of
from browline.services.training.visit_plan.plan_view import Shown, shown
from browline.store.book import default_folder, existing_book, open_book
from browline.store.models import SessionPlan


def plan(
    *,
    book: Path | None = None,
    since: Annotated[str | None, Parameter(name="--from")] = None,
    weeks: int | None = None,
    hours_a_week: float | None = None,
    weekdays: str | None = None,
    weekends: str | None = None,
    night: str | None = None,
    nights: int | None = None,
    weekend_days: int | None = None,
    share: float | None = None,
    release: float | None = None,
    visit_minutes: int | None = None,
    seconds: float | None = None,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
    pdf: Path | None = None,
    ics: Path | None = None,
) -> None:
    """Propose a session plan from the roster; nothing is arranged until visits are taken on the pages.

    Parameters
    ----------
    book
        the book's folder.
    since
        the first day, as 2026-03-07 (today when not said).
    weeks
        how many weeks, 1 to 6 (4).
    hours_a_week
        your hours a week, walks between visits included (6).
    weekdays
        when you can come on weekdays (08:00-16:00); empty where not at all.
    weekends
        the same at weekends (09:00-13:00).
    night
        the same at night (20:00-01:00).
    nights
        nights at most in the whole plan (2).
    weekend_days
        weekend days at most in the whole plan (2).
    share
        per cent of those on duty who may be away at once (25).
    release
        of 100 called, how many can come (60, an assumption).
    visit_minutes
        minutes of a visit (20).
    seconds
        how long to search (60).
    json_to
        write the plan as JSON to this file, or - for standard output; people stand in it by number, not name.
    pdf
        write the plan here, to print.
    ics
        write a calendar file here; it names no one.
    """
    for path in (pdf, ics, Path(json_to) if json_to not in (None, "-") else None):
        check_folder(path)
    given = {
        "first": since, "weeks": weeks, "hours_a_week": hours_a_week,
        "weekdays": weekdays, "weekends": weekends, "night": night, "nights": nights, "weekend_days": weekend_days,
        "share": share, "release": release, "visit_minutes": visit_minutes, "seconds": seconds,
    }  # fmt: skip
    open_book(existing_book(book or default_folder()))
    from django.utils import timezone

    given["first"] = since or timezone.now().astimezone(ward_zone()).date().isoformat()
    options = options_of({name: value for name, value in given.items() if value is not None})

    with bar("planning") as tell:
        proposal = propose(options, actor="educator", now=timezone.now(), progress=tell)
    if json_to != "-":
        _print(shown(proposal))
    _write(proposal, json_to, pdf, ics)


def _print(proposal: Shown) -> None:
    """The visits as lines, then how good the plan is and who stays out."""
    for visit in proposal.visits:
        called = len(visit.first) + len(visit.again)
        print(
            f"  {display.weekday(visit.time)} {display.moment(visit.time)}  {visit.ward}, {visit.minutes} min:"
            f" about {display.decimal(visit.expected)} of {called} called, {visit.stands}"
        )
    for line in (*proposal.sentences, *proposal.missing):
        print(line)
    for group in proposal.left:
        print(f"  {len(group.people)}: {group.reason.sentence}")
    for out in proposal.not_counted:
        print(f"  {len(out.people)}: {out.reason}, not counted")


def _write(proposal: SessionPlan, json_to: str | None, pdf: Path | None, ics: Path | None) -> None:
    if json_to is not None:
        put_text(json_to, plan_json(proposal.options, proposal.document))
    if pdf is not None:
        write_session_plan(shown(proposal), choices(), pdf)
        print(f"wrote {pdf}", file=sys.stderr)
    if ics is not None:
        ics.write_bytes(plan_calendar(shown(proposal)))
        print(f"wrote {ics}", file=sys.stderr)
