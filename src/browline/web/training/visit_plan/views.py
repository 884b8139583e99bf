"""The session plan: ask for one, look at it, take visits from it, change one and plan the rest again."""

from dataclasses import replace

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from browline.paper import write_session_plan
from browline.paper.calendar import plan_calendar
from browline.services.book import jobs, preferences
from browline.services.training import visit_plan
from browline.services.training.roster import staff_wards
from browline.services.training.visit_plan.options import Options, options_of
from browline.services.training.visit_plan.plan_view import shown
from browline.store.models import SessionPlan, Shift
from browline.web.current_book import current_book
from browline.web.downloads import download, pdf
from browline.web.request import BookRequest
from browline.web.training.visit_plan.forms import MoveForm, PlanForm, first_options, option_values

AT_ONCE_TURNS, AT_ONCE_SECONDS = 600, 8.0
"""A plan over no more turns of duty than this is made while the page waits."""
SHOWN_PLANS = 6


@require_http_methods(["GET", "HEAD", "POST"])
def index(request: BookRequest) -> HttpResponse:
    """What to ask of a plan, filled in as it was the last time, and the plans made so far."""
    if request.method == "POST":
        form = PlanForm(request.POST, wards=sorted(staff_wards()))
        if form.is_valid():
            return _propose(request, form.options)
    else:
        form = PlanForm(initial=option_values(_again()), wards=sorted(staff_wards()))
    plans = SessionPlan.objects.all()[:SHOWN_PLANS]
    page = {"form": form, "plans": plans, "roster": Shift.objects.exists()}
    return render(request, "training/visit_plan/index.html", page, status=422 if form.errors else 200)


def _again() -> Options:
    """The options of the last plan that came to visits, from today on, without what was settled by hand in it."""
    today = timezone.localdate()
    last = next((plan for plan in SessionPlan.objects.iterator(SHOWN_PLANS) if plan.document.visits), None)
    if last is None:
        return first_options(today)
    options = options_of(last.options)
    first = max(options.first, today.isoformat())
    return replace(options, first=first, kept=(), without=(), seconds=first_options(today).seconds)


def _propose(request: BookRequest, options: Options) -> HttpResponse:
    """Make the plan now where it is small, else in a process of its own."""
    now, actor = timezone.now(), request.holder.actor
    if visit_plan.size(options, now) > AT_ONCE_TURNS:
        job = jobs.start(current_book(), "plan", {"options": options.as_json(), "actor": actor})
        return redirect("work", number=job.pk)
    proposal = visit_plan.propose(replace(options, seconds=AT_ONCE_SECONDS), actor=actor, now=now)
    return redirect("plan", number=proposal.pk)


@require_GET
def plan(request: BookRequest, number: int) -> HttpResponse:
    """One plan: visits, make-ups, who is left, where champions are missing."""
    plan = shown(get_object_or_404(SessionPlan, pk=number))
    return render(
        request,
        "training/visit_plan/plan.html",
        {"plan": plan, "latest": SessionPlan.objects.latest("pk").pk},
    )


@require_POST
def take(request: BookRequest, number: int) -> HttpResponse:
    """Make sessions of the visits ticked, or of all."""
    plan = get_object_or_404(SessionPlan, pk=number)
    every = [visit.key for visit in plan.document.visits]
    keys = every if "all" in request.POST else request.POST.getlist("visit")
    actor = request.holder.actor
    taken = visit_plan.accept(number, keys, educator=request.POST.get("educator", "")[:120], actor=actor)
    messages.success(request, _taken_sentence(taken, len(keys)))
    return redirect("plan", number=number)


def _taken_sentence(taken: int, ticked: int) -> str:
    if not ticked:
        return "No visit was ticked."
    return f"{taken} session{'s' * (taken != 1)} planned." if taken else "These are sessions already."


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: BookRequest, number: int) -> HttpResponse:
    """Move one visit, hold it fast or leave it out; the rest is planned again around it."""
    plan = get_object_or_404(SessionPlan, pk=number)
    key = request.POST.get("visit") or request.GET.get("visit", "")
    visit = next((visit for visit in shown(plan).visits if visit.key == key), None)
    if visit is None or visit.session is not None:
        return redirect("plan", number=number)
    initial = {"time": visit.time, "ward": visit.ward, "minutes": visit.minutes}
    form = MoveForm(request.POST if request.POST.get("how") == "move" else None, initial=initial)
    options = _changed(request.POST.get("how", ""), plan, key, form)
    if options is not None:
        return _propose(request, replace(options, seconds=first_options(timezone.localdate()).seconds))
    page = {"plan": plan, "visit": visit, "form": form, "wards": sorted(staff_wards())}
    return render(request, "training/visit_plan/change.html", page, status=422 if form.errors else 200)


def _changed(how: str, plan: SessionPlan, key: str, form: MoveForm) -> Options | None:
    if how == "keep":
        return visit_plan.held_fast(plan, key)
    if how == "leave-out":
        return visit_plan.left_out(plan, key)
    if how == "move" and form.is_valid():
        entered = form.cleaned_data
        time = timezone.localtime(entered["time"]).replace(tzinfo=None)
        place = {"ward": entered["ward"], "minutes": entered["minutes"]}
        return visit_plan.moved(plan, key, time=time, now=timezone.now(), **place)
    return None


@require_GET
def paper(request: BookRequest, number: int) -> HttpResponse:
    """The plan to print: a page to pin up, and one with names for the educator."""
    plan = shown(get_object_or_404(SessionPlan, pk=number))
    return pdf(
        lambda path: write_session_plan(plan, preferences.choices(), path), f"session plan {number}.pdf"
    )


@require_GET
def calendar(request: BookRequest, number: int) -> HttpResponse:
    """The visits as a calendar file, without names."""
    plan = shown(get_object_or_404(SessionPlan, pk=number))
    return download(plan_calendar(plan), "text/calendar; charset=utf-8", f"session plan {number}.ics")
