"""A plan from the book: what is read of it, what is kept, what becomes sessions, what is planned again."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from browline.errors import InputRefused, NotUnderstood
from browline.services.book.change_preference import set_choice
from browline.services.training import sessions, visit_plan
from browline.services.training.visit_plan.options import Options, options_of, span
from browline.services.training.visit_plan.plan_view import shown
from browline.services.training.visit_plan.reading import read
from browline.services.training.visit_plan.times import stretches
from browline.visit_plan import NIGHT, WEEKDAY, WEEKEND, Outcome

MONDAY = date(2026, 3, 2)
NAMES = ("Asha", "Ben", "Chidi", "Dora", "Edda", "Femi", "Lena", "Otto")
NOW = datetime(2026, 2, 27, 12, tzinfo=UTC)
ASKED = Options(MONDAY.isoformat(), weeks=2, seconds=10)
HOURS = {"early": (7, 8), "late": (13, 8), "night": (19, 12)}


@pytest.fixture
def larch(book):
    """Larch: four who work early, two who work nights, one on long leave, one who has left; every day for two weeks."""
    from browline.store.models import Absence

    people = [a_person(n, name) for n, name in enumerate(NAMES, 1)]
    for day in range(14):
        for k, person in enumerate(people[:6]):
            a_shift(person, MONDAY + timedelta(days=day), "early" if k < 4 else "night")
    Absence.objects.create(person=people[6], start=date(2026, 1, 1), reason="long-leave", actor="educator")
    Absence.objects.create(person=people[7], start=date(2026, 1, 1), reason="left", actor="educator")
    return people


def a_person(number, name, ward="Larch"):
    from browline.store.models import Person

    return Person.objects.create(
        identifier=f"{number:04d}", name=name, pseudonym=number, role="Registered nurse", ward=ward
    )


def a_shift(person, day, kind, ward="Larch", times=True, zone=UTC):
    from browline.store.models import Shift

    first, hours = HOURS[kind]
    start = datetime(day.year, day.month, day.day, first, tzinfo=zone)
    told = {"start": start, "end": start + timedelta(hours=hours)} if times else {}
    return Shift.objects.create(person=person, date=day, ward=ward, code=kind[0].upper(), kind=kind, **told)


def signed_off(person, days_ago=30):
    from browline.store.models import Attendance

    Attendance.objects.create(person=person, time=NOW - timedelta(days=days_ago), outcome="signed-off")


def propose(options=ASKED):
    return visit_plan.propose(options, actor="educator", now=NOW)


def test_a_plan_is_kept_with_what_was_asked_and_an_event(larch):
    from browline.store.models import Event, SessionPlan

    plan = propose()
    (kept,) = SessionPlan.objects.all()
    assert options_of(kept.options) == ASKED
    assert kept.result["outcome"] == Outcome.OPTIMAL.value and kept.result["gap"] == pytest.approx(
        0, abs=1e-6
    )
    event = Event.objects.get(verb="plan")
    assert event.subject == str(plan.pk) and event.data["visits"] == len(plan.result["visits"])


def test_those_signed_off_or_gone_are_not_reached_and_those_on_leave_are_said(larch):
    signed_off(larch[0])
    result = propose().result
    called = {person for visit in result["visits"] for person, _ in visit["calls"]}
    assert called == {p.pk for p in larch[1:6]}
    assert result["to_reach"] == 5 and result["unreached"] == {}
    assert result["excluded"] == {"long-leave": [larch[6].pk], "left": [larch[7].pk]}
    assert [(g.reason, g.people) for g in shown(propose()).not_counted] == [
        ("on long leave", ("Lena",)),
        ("has left", ("Otto",)),
    ]


def test_somebody_on_leave_is_not_called_on_those_days_and_makes_no_cover(larch):
    from browline.store.models import Absence

    Absence.objects.create(person=larch[0], start=date(2026, 3, 9), reason="long-leave", actor="educator")
    seen = read(ASKED, NOW)
    asha = seen.people.index(larch[0].pk)
    assert max(seen.problem.duties.start[seen.problem.duties.person == asha]) < 7 * 24
    assert seen.problem.to_reach[asha]


def test_somebody_whose_leave_begins_within_the_plan_and_who_has_no_turn_is_not_asked_after(larch):
    from browline.store.models import Absence, Shift

    Shift.objects.filter(person=larch[0]).delete()
    Absence.objects.create(person=larch[0], start=date(2026, 3, 11), reason="long-leave", actor="educator")
    result = propose().result
    assert larch[0].pk in result["excluded"]["long-leave"] and result["unreached"] == {}


def test_somebody_who_only_signed_in_is_not_counted_and_somebody_rostered_is(larch):
    for person in larch[:2]:
        person.listed = False
        person.save()
    from browline.store.models import Shift

    assert propose().result["to_reach"] == 6
    Shift.objects.filter(person=larch[0]).delete()
    assert propose().result["to_reach"] == 5


def test_a_book_without_staff_says_what_it_lacks(book):
    plan = propose()
    assert plan.result["outcome"] == Outcome.NO_PEOPLE.value
    assert shown(plan).sentences == (
        "Nobody is known: there is no staff list, and no roster covers these weeks; bring one in.",
    )


def test_two_of_one_name_are_told_apart(book):
    from browline.services.training.visit_plan.naming import names

    told = [
        ("Holm, Vera", "Larch"),
        ("Holm, Vera", "Elm"),
        ("Birch, Xena", "Larch"),
        ("Ode", ""),
        ("Ode", ""),
    ]
    people = [a_person(n, name, ward) for n, (name, ward) in enumerate(told, 1)]
    assert list(names([p.pk for p in people]).values()) == [
        "Holm, Vera (Larch)", "Holm, Vera (Elm)", "Birch, Xena", "Ode (0004)", "Ode (0005)",
    ]  # fmt: skip
    assert names([people[0].pk]) == {people[0].pk: "Holm, Vera (Larch)"}


def test_a_sign_off_that_has_ended_counts_as_to_be_reached(larch):
    signed_off(larch[0], days_ago=3 * 366)
    assert propose().result["to_reach"] == 6


def test_only_those_never_at_a_session_where_asked(larch):
    from browline.store.models import Attendance

    Attendance.objects.create(person=larch[1], time=NOW - timedelta(days=3), outcome="attended")
    assert propose().result["to_reach"] == 6
    assert propose(replace(ASKED, whom="not-taught")).result["to_reach"] == 5


def test_without_a_roster_the_plan_says_so(book):
    a_person(1, "Asha")
    plan = propose()
    assert plan.result["outcome"] == Outcome.NO_ROSTER.value and plan.result["visits"] == []
    assert shown(plan).missing == ("No turn of duty is known for these weeks: bring a roster in.",)


def test_a_roster_shorter_than_the_plan_is_said(larch):
    plan = propose(replace(ASKED, weeks=3))
    assert shown(plan).missing == (
        "The roster covers 14 of the 21 days; on the others nobody can be called.",
    )


def test_a_shift_without_hours_counts_with_the_usual_ones_and_without_a_ward_on_the_home_ward(book):
    a_shift(a_person(1, "Asha", "Elm"), MONDAY, "night", ward="", times=False)
    seen = read(ASKED, NOW)
    assert seen.problem.duties.start.tolist() == [19.0] and seen.problem.duties.end.tolist() == [31.5]
    assert seen.wards[seen.problem.duties.ward[0]] == "Elm"
    assert seen.problem.duties.time.tolist() == [NIGHT]


def test_hours_are_those_of_the_hospitals_clock_on_both_sides_of_its_change(book):
    """In Berlin the clock went forward on 29 Mar 2026; seven in the morning stays seven in the morning."""
    set_choice("zone", "Europe/Berlin", "educator")
    asha, berlin = a_person(1, "Asha"), ZoneInfo("Europe/Berlin")
    for day in (date(2026, 3, 28), date(2026, 3, 30)):
        a_shift(asha, day, "early", zone=berlin)
    options = replace(ASKED, first="2026-03-28", hour=0.0, stay=0)
    seen = read(options, NOW)
    assert seen.problem.duties.start.tolist() == [7.0, 55.0]
    (visit,) = [v for v in propose(options).result["visits"] if v["time"].startswith("2026-03-30")]
    assert visit["time"].endswith("+02:00")


def test_visits_lie_away_from_rounds_and_the_educators_days_away():
    asked = replace(ASKED, away=("2026-03-03",), weekends="", night="", weeks=1, days=(0, 1, 2))
    found = stretches(asked, NOW)
    assert [s.day for s in found] == [0, 2]
    assert found[0].starts == (8.0, 8.5, 9.0, 9.5, 10.5, 11.0, 11.5, 12.0, 12.5, 13.0, 13.5, 14.5, 15.0, 15.5)
    assert {s.time for s in stretches(ASKED, NOW)} == {WEEKDAY, WEEKEND, NIGHT}


def test_a_night_runs_over_midnight_and_starts_gone_by_are_left_out():
    asked = replace(ASKED, weekdays="", weekends="", weeks=1)
    (night, *_) = stretches(asked, NOW)
    assert night.starts == (20.0, 20.5, 21.0, 21.5, 22.5, 23.0, 23.5, 24.0, 24.5)
    (night, *_) = stretches(asked, datetime(2026, 3, 2, 23, 10, tzinfo=UTC))
    assert night.starts == (23.5, 24.0, 24.5)


def test_taken_visits_are_sessions_once_and_are_kept_by_the_next_plan(larch):
    from browline.store.models import Session

    plan = propose()
    keys = [visit["key"] for visit in plan.result["visits"]]
    assert visit_plan.accept(plan.pk, keys[:2], educator="Ines", actor="educator") == 2
    assert visit_plan.accept(plan.pk, keys[:2], actor="educator") == 0
    codes = set(Session.objects.values_list("code", flat=True))
    assert len(codes) == 2 and all(codes)
    again = propose().result["visits"]
    assert {v["key"] for v in again if v["session"]} == set(keys[:2])


def test_the_same_visit_of_two_plans_becomes_one_session(larch):
    from browline.store.models import Session

    one, other = propose(), propose()
    key = one.result["visits"][0]["key"]
    assert visit_plan.accept(one.pk, [key], actor="educator") == 1
    assert visit_plan.accept(other.pk, [key], actor="educator") == 0
    assert Session.objects.count() == 1
    other.refresh_from_db()
    assert other.result["visits"][0]["session"] == Session.objects.get().pk


def test_a_visit_that_is_not_in_the_plan_leaves_everything_as_it_was(larch):
    from browline.store.models import Session

    plan = propose()
    with pytest.raises(InputRefused, match="is not a visit of this plan"):
        visit_plan.accept(plan.pk, [plan.result["visits"][0]["key"], "no visit"], actor="educator")
    assert Session.objects.count() == 0


def test_a_visit_moved_by_hand_stays_and_can_be_moved_again(larch):
    plan = propose()
    first = plan.result["visits"][0]["key"]
    moved = propose(
        visit_plan.moved(plan, first, time=datetime(2026, 3, 9, 11, 20), ward="Larch", minutes=30, now=NOW)
    )
    assert "2026-03-09T11:20|Larch" in {v["key"] for v in moved.result["visits"] if v["kept"]}
    key = "2026-03-09T11:20|Larch"
    again = propose(
        visit_plan.moved(moved, key, time=datetime(2026, 3, 10, 9, 0), ward="Larch", minutes=30, now=NOW)
    )
    kept = {v["key"] for v in again.result["visits"] if v["kept"]}
    assert kept == {"2026-03-10T09:00|Larch"}


def test_a_session_is_moved_on_its_own_page_and_the_plan_follows_it(larch):
    from browline.store.models import Session

    plan = propose()
    key = plan.result["visits"][0]["key"]
    visit_plan.accept(plan.pk, [key], actor="educator")
    plan.refresh_from_db()
    with pytest.raises(InputRefused, match="session already"):
        visit_plan.moved(plan, key, time=datetime(2026, 3, 9, 11, 20), ward="Larch", minutes=20, now=NOW)
    session = Session.objects.get()
    to = datetime(2026, 3, 9, 11, 20, tzinfo=UTC)
    sessions.move(session.pk, to, minutes=20, ward="Larch", read=session.time, actor="educator")
    kept = [v for v in propose().result["visits"] if v["kept"]]
    assert [(v["key"], v["session"]) for v in kept] == [("2026-03-09T11:20|Larch", session.pk)]
    sessions.cancel(session.pk, "ill", "educator")
    assert not [v for v in propose().result["visits"] if v["kept"]]


def slots(plan):
    """Ward and day of every visit."""
    return {(visit["ward"], visit["time"][:10]) for visit in plan.result["visits"]}


def test_a_slot_she_moved_a_visit_away_from_is_not_proposed_again(larch):
    plan = propose()
    visit = plan.result["visits"][0]
    to = datetime(2026, 3, 12, 11, 20)
    moved = propose(visit_plan.moved(plan, visit["key"], time=to, ward="Larch", minutes=20, now=NOW))
    assert ("Larch", visit["time"][:10]) not in slots(moved) and ("Larch", "2026-03-12") in slots(moved)
    later = datetime.fromisoformat(visit["time"]).replace(hour=11, minute=20, tzinfo=None)
    same_day = propose(visit_plan.moved(plan, visit["key"], time=later, ward="Larch", minutes=20, now=NOW))
    assert ("Larch", visit["time"][:10]) in slots(same_day)


def test_a_slot_of_a_session_moved_or_cancelled_is_not_proposed_again(larch):
    from browline.store.models import Session

    plan = propose()
    one, other = plan.result["visits"][:2]
    visit_plan.accept(plan.pk, [one["key"], other["key"]], actor="educator")
    first, second = Session.objects.order_by("time")
    to = datetime(2026, 3, 12, 11, 20, tzinfo=UTC)
    sessions.move(first.pk, to, minutes=20, ward="Larch", read=first.time, actor="educator")
    sessions.cancel(second.pk, "ill", "educator")
    again = slots(propose())
    assert ("Larch", "2026-03-12") in again
    assert not {("Larch", visit["time"][:10]) for visit in (one, other)} & again


def test_a_visit_is_moved_within_the_weeks_of_the_plan(larch):
    plan = propose()
    key = plan.result["visits"][0]["key"]
    for day in (datetime(2026, 3, 1, 9), datetime(2026, 3, 16, 9), datetime(9999, 12, 31, 9)):
        with pytest.raises(InputRefused, match="Mar 2026 to 15 Mar 2026"):
            visit_plan.moved(plan, key, time=day, ward="Larch", minutes=20, now=NOW)


def test_a_visit_is_not_moved_to_a_time_gone_by(larch):
    plan = propose()
    key, today = plan.result["visits"][0]["key"], datetime(2026, 3, 3, 12, tzinfo=UTC)
    with pytest.raises(InputRefused, match=r"03 Mar 2026 at 11:59\. That has gone by"):
        visit_plan.moved(plan, key, time=datetime(2026, 3, 3, 11, 59), ward="Larch", minutes=20, now=today)
    to = datetime(2026, 3, 3, 12, 1)
    assert visit_plan.moved(plan, key, time=to, ward="Larch", minutes=20, now=today).kept


def test_no_week_from_monday_to_sunday_has_more_than_her_hours(larch):
    """From a Wednesday, an hour and a half a week; a session on the Tuesday before counts in that week."""
    asked = replace(
        ASKED, first="2026-03-04", weeks=1, hours_a_week=1.5, hour=0.0, at_once=1, half_life_days=365.0
    )
    asked = replace(asked, chances=4, weekend_days=12, nights=0)

    def by_week():
        days = [date.fromisoformat(day) for _, day in slots(propose(asked))]
        return [sum(d <= date(2026, 3, 8) for d in days), sum(d > date(2026, 3, 8) for d in days)]

    assert by_week() == [3, 2]
    tuesday = datetime(2026, 3, 3, 9, tzinfo=UTC)
    sessions.plan_session(tuesday, minutes=50, ward="Larch", actor="educator")
    assert by_week() == [1, 2]


def test_a_taken_visit_is_shown_as_its_session_stands(larch):
    from browline.store.models import Session

    plan = propose()
    keys = [visit["key"] for visit in plan.result["visits"][:3]]
    visit_plan.accept(plan.pk, keys, actor="educator")
    plan.refresh_from_db()
    assert [v.stands for v in shown(plan).visits[:3]] == ["agreed"] * 3
    assert {v.stands for v in shown(plan).visits[3:]} == {"proposed"} and len(shown(plan).sentences) == 2
    first, second, third = Session.objects.order_by("time")
    to = datetime(2026, 4, 12, 11, 20, tzinfo=UTC)
    sessions.move(first.pk, to, minutes=45, ward="Elm", read=first.time, actor="educator")
    sessions.cancel(second.pk, "ill", "educator")
    sessions.mark_done(third.pk, "educator", now=third.time)
    made = shown(plan)
    by_key = {v.key: v for v in made.visits}
    moved, cancelled, held = (by_key[key] for key in keys)
    assert (moved.time, moved.ward, moved.minutes, moved.stands) == (to, "Elm", 45, "moved")
    assert moved.was == f"{first.time:%a %d %b %H:%M}, Larch" and made.visits[-1] == moved
    assert not moved.first + moved.again + cancelled.first + cancelled.again and held.first + held.again
    assert (cancelled.stands, held.stands) == ("cancelled", "held")
    assert (moved.changes, cancelled.changes, held.changes) == (1, 1, 0)
    assert made.sentences[-1].startswith("Of its visits 1 moved and 1 cancelled since;")


def test_a_visit_held_fast_and_one_left_out(larch):
    plan = propose()
    visit = plan.result["visits"][1]
    held = propose(visit_plan.held_fast(plan, visit["key"]))
    assert [v["key"] for v in held.result["visits"] if v["kept"]] == [visit["key"]]
    without = propose(visit_plan.left_out(plan, visit["key"]))
    assert (visit["ward"], visit["time"][:10]) not in {
        (v["ward"], v["time"][:10]) for v in without.result["visits"]
    }


def test_champions_who_are_signed_off_are_counted_and_gaps_named(larch):
    from browline.store.models import Champion

    Champion.objects.create(person=larch[0], ward="Larch", start=date(2026, 1, 1))
    made = shown(propose())
    assert {(g.ward, g.shift, g.said) for g in made.gaps} == {
        ("Larch", "weekdays", "the champion named is not signed off yet"),
        ("Larch", "weekend days", "the champion named is not signed off yet"),
        ("Larch", "nights", "the champion named is not signed off yet"),
    }
    signed_off(larch[0])
    assert {(g.shift, g.said) for g in shown(propose()).gaps} == {("nights", "no champion")}


def test_a_champion_on_for_fewer_than_half_of_the_turns_is_a_gap_and_half_is_none(larch):
    from browline.store.models import Champion, Shift

    signed_off(larch[0])
    Champion.objects.create(person=larch[0], ward="Larch", start=date(2026, 1, 1))
    days = sorted({s.date for s in Shift.objects.filter(person=larch[0]) if s.date.weekday() < 5})
    Shift.objects.filter(person=larch[0], date__in=days[5:]).delete()
    assert not [g for g in shown(propose()).gaps if g.shift == "weekdays"]
    Shift.objects.filter(person=larch[0], date=days[4]).delete()
    (gap,) = [g for g in shown(propose()).gaps if g.shift == "weekdays"]
    assert gap.said == "a champion is on for 4 of 10" and gap.champions == ("Asha",)


def test_a_visit_whose_session_was_moved_since_is_not_made_again(larch):
    from browline.store.models import Session

    plan = propose()
    key = plan.result["visits"][0]["key"]
    visit_plan.accept(plan.pk, [key], actor="educator")
    session, to = Session.objects.get(), datetime(2026, 3, 9, 11, 20, tzinfo=UTC)
    sessions.move(session.pk, to, minutes=20, ward="Larch", read=session.time, actor="educator")
    assert visit_plan.accept(plan.pk, [key], actor="educator") == 0 and Session.objects.count() == 1


def test_those_left_are_named_with_who_works_beside_them(larch):
    signed_off(larch[4])
    made = shown(propose(replace(ASKED, night="")))
    by_reason = {group.reason.value: group.people for group in made.left}
    assert by_reason["only-nights"] == (("Femi", "Edda (14 turns together)"),)


def test_names_are_looked_up_when_shown_and_never_kept(larch):
    plan = propose()
    assert "Asha" not in str(plan.result) and "Asha" in str(shown(plan).visits)
    larch[0].name = "Asha Rao"
    larch[0].save()
    assert "Asha Rao" in str(shown(plan).visits)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"weeks": 7}, "weeks to plan"),
        ({"first": "soon"}, "is not a date"),
        ({"first": "9999-12-30"}, "begins between 2000-01-01 and 2100-12-31"),
        ({"first": "0001-01-01"}, "begins between"),
        ({"kept": [{"ward": "Larch", "time": "2026-03-07T14:00+02:00", "minutes": 20}]}, "is not a moment"),
        ({"weekdays": "8 till 4"}, "08:00-16:00"),
        ({"rounds": ("25:00",)}, "not a time of day"),
        ({"person_minutes": 30}, "Nobody could be taught"),
        ({"whom": "everyone"}, "not understood"),
        ({"hours_a_week": float("nan")}, "hours a week"),
        ({"kept": [{"ward": "Larch", "time": "soon", "minutes": 20}]}, "is not a moment"),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(changes, said):
    with pytest.raises(NotUnderstood, match=said):
        options_of({**ASKED.as_json(), **changes})


@pytest.mark.parametrize("first", ["2000-01-01", "2100-12-31"])
def test_the_first_and_the_last_day_a_plan_may_begin_on_are_read(larch, first):
    assert propose(replace(ASKED, first=first)).result["outcome"] == Outcome.NO_ROSTER.value


def test_spans_of_time():
    assert span("22:00 to 06:00") == (22.0, 30.0) and span("7:30-8:00") == (7.5, 8.0)
    assert span("20:00-24:00") == (20.0, 24.0)
    with pytest.raises(NotUnderstood):
        span("20:00-24:30")
