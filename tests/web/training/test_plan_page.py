"""Ines asks for a plan, looks at it, takes visits, moves one; the calendar names no one."""

from datetime import UTC, datetime, timedelta

import pytest
from browsing import Tab, browser, served

from browline.store.models import Attendance, Event, Job, Person, Session, SessionPlan, Shift

TODAY = datetime.now(UTC).date()
"""The day of a book whose zone is not set, whatever the zone of this computer."""
MONDAY = TODAY + timedelta(days=7 - TODAY.weekday())
NAMES = ("Asha", "Ben", "Chidi", "Dora", "Edda", "Femi", "Greta", "Hui")


@pytest.fixture
def roster(book):
    """Larch for two weeks: six people by day, two only at night; Asha is signed off, Zoe on no roster."""
    people = [
        Person.objects.create(
            identifier=f"{n:04d}", pseudonym=n, name=name, role="Registered nurse", ward="Larch"
        )
        for n, name in enumerate((*NAMES, "Zoe"), 1)
    ]
    for day in (MONDAY + timedelta(days=d) for d in range(14)):
        if day.weekday() < 5:
            for person in people[:6]:
                a_shift(person, day, "early", 7, 8)
        for person in people[6:8]:
            a_shift(person, day, "night", 19, 12)
    Attendance.objects.create(
        person=people[0], time=datetime.now(UTC) - timedelta(days=9), outcome="signed-off"
    )
    return people


def a_shift(person, day, kind, hour, hours, ward="Larch"):
    start = datetime(day.year, day.month, day.day, hour, tzinfo=UTC)
    Shift.objects.create(
        person=person,
        date=day,
        ward=ward,
        code=kind[:1].upper(),
        kind=kind,
        start=start,
        end=start + timedelta(hours=hours),
    )


def asked(**changes):
    """What the form sends as it stands at first, with changes."""
    from browline.services.training.visit_plan.options import Options
    from browline.web.training.visit_plan.forms import option_values as shown

    known = shown(Options(MONDAY.isoformat(), weeks=2))
    return {name: value for name, value in known.items() if name not in ("kept", "without")} | changes


def a_plan(ines, **changes):
    """The plan that Ines makes."""
    answer = ines.post("/teaching/plan/", asked(**changes))
    assert answer.status_code == 302, answer.content.decode()
    return SessionPlan.objects.first()


def test_without_a_roster_the_page_says_what_is_missing(ines):
    page = ines.get("/teaching/plan/").content.decode()
    assert "There is no roster in the book" in page and "/teaching/roster/" in page


def test_a_plan_meets_day_and_night_and_says_who_is_left_and_why(ines, roster):
    plan = a_plan(ines)
    page = ines.get(f"/teaching/plan/{plan.pk}/").content.decode()
    assert "of the 8 people left to reach are reached" in page
    assert "No plan within these limits" in page
    assert "Greta" in page and "night" in page
    assert "Not on the roster of these weeks" in page and "Zoe" in page
    called = {name for visit in plan.result["visits"] for name, _ in visit["calls"]}
    assert called == {p.pk for p in roster[1:8]}


def test_no_night_given_means_the_night_staff_are_left_with_that_reason(ines, roster):
    plan = a_plan(ines, night="")
    left = plan.result["unreached"]["only-nights"]
    assert left == [roster[6].pk, roster[7].pk]


def test_ticked_visits_become_sessions_once(ines, roster):
    plan = a_plan(ines)
    keys = [visit["key"] for visit in plan.result["visits"]]
    for _ in range(2):
        ines.post(f"/teaching/plan/{plan.pk}/take/", {"visit": keys[:1], "educator": "Ines"})
    (session,) = Session.objects.all()
    assert f"{session.time:%Y-%m-%dT%H:%M}|{session.ward}" == keys[0]
    assert session.state == "planned" and session.educator == "Ines" and session.code
    ines.post(f"/teaching/plan/{plan.pk}/take/", {"all": "1"})
    assert Session.objects.count() == len(keys)
    assert Event.objects.filter(verb="plan-taken").count() == 3


def test_what_is_no_visit_of_the_plan_is_refused(ines, roster):
    plan = a_plan(ines)
    answer = ines.post(f"/teaching/plan/{plan.pk}/take/", {"visit": "2026-01-01T08:00|Larch"})
    assert answer.status_code == 422 and Session.objects.count() == 0


def test_a_moved_visit_stays_where_it_was_put_and_the_rest_is_planned_again(ines, roster):
    plan = a_plan(ines)
    visit = plan.result["visits"][0]
    ines.post(f"/teaching/plan/{plan.pk}/take/", {"visit": plan.result["visits"][1]["key"]})
    to = MONDAY + timedelta(days=9)
    answer = ines.post(
        f"/teaching/plan/{plan.pk}/change/",
        {"visit": visit["key"], "how": "move", "time": f"{to}T11:15", "ward": "Larch", "minutes": "20"},
    )
    assert answer.status_code == 302
    again = SessionPlan.objects.first()
    assert again.pk != plan.pk
    kept = {v["key"]: v for v in again.result["visits"] if v["kept"]}
    assert set(kept) == {f"{to}T11:15|Larch", plan.result["visits"][1]["key"]}
    assert kept[f"{to}T11:15|Larch"]["expected"] > 0


def test_a_visit_left_out_does_not_come_back(ines, roster):
    plan = a_plan(ines)
    visit = plan.result["visits"][0]
    ines.post(f"/teaching/plan/{plan.pk}/change/", {"visit": visit["key"], "how": "leave-out"})
    again = SessionPlan.objects.first()
    assert again.pk != plan.pk
    assert visit["time"][:10] not in {v["time"][:10] for v in again.result["visits"]}


def test_a_large_roster_is_planned_as_a_job(ines, roster, started, monkeypatch):
    from browline.web.training.visit_plan import views

    monkeypatch.setattr(views, "AT_ONCE_TURNS", 10)
    answer = ines.post("/teaching/plan/", asked())
    assert answer["Location"].startswith("/under-way/")
    assert started[0]["verb"] == "plan" and started[0]["options"]["weeks"] == 2


def test_a_finished_job_leads_to_its_plan(ines, roster):
    plan = a_plan(ines)
    job = Job.objects.create(verb="plan", state="done", result={"plan": plan.pk, "visits": 3})
    page = ines.get(f"/under-way/{job.pk}/").content.decode()
    assert "Making a session plan" in page and f"/teaching/plan/{plan.pk}/" in page


def test_times_that_make_no_sense_come_back_with_a_word(ines, roster):
    answer = ines.post("/teaching/plan/", asked(weekdays="eight to four"))
    assert answer.status_code == 422 and "It is written as 08:00-16:00." in answer.content.decode()


def test_the_calendar_names_no_one_and_the_paper_opens(ines, roster):
    plan = a_plan(ines)
    calendar = ines.get(f"/teaching/plan/{plan.pk}/plan.ics")
    assert calendar["Content-Type"].startswith("text/calendar")
    text = calendar.content.decode()
    assert text.count("BEGIN:VEVENT") == len(plan.result["visits"])
    assert not [name for name in (*NAMES, "Zoe") if name in text]
    assert ines.get(f"/teaching/plan/{plan.pk}/plan.pdf").content.startswith(b"%PDF")


def test_only_the_educator_sees_plans(visitor, ines, roster):
    from browline.roles import VIEWER
    from browline.services.book import access_links

    plan = a_plan(ines)
    ines.logout()
    token = access_links.issue(VIEWER, until=datetime.now(UTC) + timedelta(days=1), actor="educator")
    visitor.get(f"/in/pass/{token}/")
    for address in ("", f"{plan.pk}/", f"{plan.pk}/plan.pdf", f"{plan.pk}/plan.ics"):
        assert visitor.get(f"/teaching/plan/{address}").status_code == 403


def test_a_session_moved_or_cancelled_since_is_shown_so(ines, roster):
    from browline.services.training import sessions

    plan = a_plan(ines)
    keys = [visit["key"] for visit in plan.result["visits"][:3]]
    ines.post(f"/teaching/plan/{plan.pk}/take/", {"visit": keys, "educator": "Ines"})
    first, second, _ = Session.objects.order_by("time")
    to = first.time + timedelta(days=30)
    sessions.move(first.pk, to, minutes=20, ward="Elm", read=first.time, actor="educator")
    sessions.cancel(second.pk, "ill", "educator")
    page = ines.get(f"/teaching/plan/{plan.pk}/").content.decode()
    assert f"Moved from {first.time:%a %d %b %H:%M}, Larch; plan again" in page and "Cancelled since." in page
    assert "Of its visits 1 moved and 1 cancelled since" in page and "min, agreed" in page
    text = ines.get(f"/teaching/plan/{plan.pk}/plan.ics").content.decode().replace("\r\n ", "")
    assert f"DTSTART:{to:%Y%m%dT%H%M}" in text and text.count("STATUS:CANCELLED") == 1


def test_the_form_begins_as_the_last_plan_that_came_to_visits(ines, roster):
    a_plan(ines, hours_a_week="7.5", share="40")
    a_plan(ines, hours_a_week="3.5", weekdays="", weekends="", night="")
    a_plan(ines, hours_a_week="4.5", wards=["Larch"], hour="20")
    assert [bool(plan.result["visits"]) for plan in SessionPlan.objects.all()] == [False, False, True]
    page = ines.get("/teaching/plan/").content.decode()
    assert 'value="7.5"' in page and 'value="3.5"' not in page and 'value="4.5"' not in page


def test_the_page_says_which_week_the_hours_are_of(ines):
    page = ines.get("/teaching/plan/").content.decode()
    assert "Monday to Sunday. A week of which the plan has only a part has all its hours" in page


def test_a_visit_moved_beyond_the_plan_is_refused_in_words(ines, roster):
    plan = a_plan(ines)
    key = plan.result["visits"][0]["key"]
    answer = ines.post(
        f"/teaching/plan/{plan.pk}/change/",
        {"visit": key, "how": "move", "time": "2100-12-31T11:15", "ward": "Larch", "minutes": "20"},
    )
    assert answer.status_code == 422 and "Move it within these days" in answer.content.decode()


@pytest.mark.browser
def test_the_page_reads_well_wide_and_narrow(book, roster, monkeypatch):
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with browser() as opened, served() as port:
        for width in (1280, 360):
            tab = Tab(opened, port, viewport={"width": width, "height": 900})
            tab.page.set_default_timeout(120_000)
            tab.come_in()
            tab.go("/teaching/plan/")
            assert tab.overflow() <= 0 and tab.violations() == []
            tab.page.fill("#id_first", MONDAY.isoformat())
            tab.page.get_by_role("button", name="Make a plan").click()
            tab.page.wait_for_selector("h2#visits")
            assert tab.overflow() <= 0 and tab.violations() == []
            tab.page.locator("summary").first.click()
            tab.page.get_by_role("link", name="Change").first.click()
            tab.page.wait_for_selector("text=Move it")
            assert tab.overflow() <= 0 and tab.violations() == [] and tab.complaints == []
            tab.close()
