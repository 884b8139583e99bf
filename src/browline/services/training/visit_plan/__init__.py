"""The session plan: proposed from the roster, taken whole or in part, changed by hand and planned again around that.

Planning only reads and keeps a proposal; sessions are made when the educator takes visits from it.
"""

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from datetime import datetime

from django.db import transaction

from browline import display
from browline.documents.encoding import plain
from browline.documents.plan import VisitRow
from browline.errors import InputRefused
from browline.services.book.clock import ward_zone
from browline.services.training.sessions import plan_session
from browline.services.training.visit_plan.document import plan_document
from browline.services.training.visit_plan.options import Kept, Options, options_of
from browline.services.training.visit_plan.reading import read
from browline.store.event_log import recorded
from browline.store.models import Session, SessionPlan
from browline.visit_plan import solve

Progress = Callable[[int, int, str], None]
NEAR_ENOUGH = 0.01


def propose(options: Options, *, actor: str, now: datetime, progress: Progress | None = None) -> SessionPlan:
    """Make a plan and keep it with what was asked; returns its `SessionPlan`."""
    question = read(options, now)
    plan = solve(question.problem, gap=NEAR_ENOUGH, seconds=options.seconds, progress=progress)
    result = plain(plan_document(options, question, plan))
    with recorded(actor, "plan", data={"outcome": plan.outcome.value, "visits": len(plan.visits)}) as event:
        stored_plan = SessionPlan.objects.create(options=options.as_json(), result=result, actor=actor)
        event.about(stored_plan.pk)
    return stored_plan


def size(options: Options, now: datetime) -> int:
    """Turns of duty that a plan would look at: what decides whether it is made at once or as a job."""
    return len(read(options, now).problem.duties)


def accept(number: int, keys: Collection[str], *, educator: str = "", actor: str) -> int:
    """Make sessions of the visits of a plan that are named by `keys`; returns how many were made.

    One transaction. A visit that is a session already, from this plan or another, makes none again.
    """
    with transaction.atomic():
        plan = SessionPlan.objects.select_for_update().get(pk=number)
        _known(plan, keys)
        created, sessions = 0, dict[str, int]()
        for visit in plan.document.visits:
            if visit.key not in keys or visit.session is not None:
                continue
            time = datetime.fromisoformat(visit.time)
            session = Session.objects.planned().filter(time=time, ward=visit.ward).first()
            if session is None:
                created += 1
                session = plan_session(
                    time, minutes=visit.minutes, ward=visit.ward, educator=educator, actor=actor
                )
            sessions[visit.key] = session.pk
        _mark_arranged(plan, sessions)
        with recorded(actor, "plan-taken", number, {"sessions": created}):
            plan.save(update_fields=["result"])
    return created


def _mark_arranged(plan: SessionPlan, sessions: Mapping[str, int]) -> None:
    """In what is stored, not in its document: whatever else a visit has in the book stays as it was."""
    for stored in plan.result["visits"]:
        stored["session"] = sessions.get(stored["key"], stored["session"])


def moved(plan: SessionPlan, key: str, *, time: datetime, ward: str, minutes: int, now: datetime) -> Options:
    """What to ask for so that this visit of a plan lies elsewhere and all others of it may change around it.

    `time` is on the hospital's clock, without a zone. Nothing is proposed again for the ward and day it leaves.
    """
    options = options_of(plan.options)
    if time <= now.astimezone(ward_zone()).replace(tzinfo=None):
        raise InputRefused(
            f"The visit would be on {display.day(time)} at {display.time_of_day(time)}.",
            "That has gone by.",
            "Move it to a time to come.",
        )
    if not options.first_day <= time.date() <= options.last_day:
        raise InputRefused(
            f"The visit would be on {display.day(time)}.",
            f"This plan runs from {display.day(options.first_day)} to {display.day(options.last_day)}.",
            "Move it within these days, or make a plan of other weeks.",
        )
    return _settled(plan, key, time, ward, minutes)


def _settled(plan: SessionPlan, key: str, time: datetime, ward: str, minutes: int) -> Options:
    options, visit = options_of(plan.options), _one(plan, key)
    if visit.session is not None:
        raise InputRefused(
            "This visit is a session already.", "A session is moved on its own page.", "Move it there."
        )
    day, new_day = visit.time[:10], time.date().isoformat()
    freed = () if (ward, new_day) == (visit.ward, day) else ((visit.ward, day),)
    fixed = tuple(visit_kept for visit_kept in options.kept if f"{visit_kept.time}|{visit_kept.ward}" != key)
    fixed = (*fixed, Kept(ward, time.replace(tzinfo=None).isoformat(timespec="minutes"), minutes))
    return replace(options, kept=fixed, without=(*options.without, *freed))


def left_out(plan: SessionPlan, key: str) -> Options:
    """What to ask for so that there is no visit on this ward on this day."""
    options, visit = options_of(plan.options), _one(plan, key)
    fixed = tuple(visit_kept for visit_kept in options.kept if f"{visit_kept.time}|{visit_kept.ward}" != key)
    day = visit.time[:10]
    return replace(options, kept=fixed, without=(*options.without, (visit.ward, day)))


def held_fast(plan: SessionPlan, key: str) -> Options:
    """What to ask for so that this visit stays as it is whatever else changes."""
    visit = _one(plan, key)
    time = datetime.fromisoformat(visit.time).replace(tzinfo=None)
    return _settled(plan, key, time, visit.ward, visit.minutes)


def _one(plan: SessionPlan, key: str) -> VisitRow:
    _known(plan, [key])
    return next(visit for visit in plan.document.visits if visit.key == key)


def _known(plan: SessionPlan, keys: Collection[str]) -> None:
    if strange := set(keys) - {visit.key for visit in plan.document.visits}:
        raise InputRefused(
            f"{min(strange)!r} is not a visit of this plan.",
            "Only what it proposes can be taken or changed.",
            "Open the plan again and choose from it.",
        )
