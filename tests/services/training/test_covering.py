"""Coverage from the book: who is met, what counts, who is due and why."""

from datetime import UTC, date, datetime, timedelta

import pytest

import larch_at_night as cast
from browline.competency.status import Stands
from browline.services.training import coverage
from browline.services.training.coverage import statuses
from larch_at_night import NIGHT, NO_LENS, TODAY, at, demonstration, on_duty


@pytest.fixture
def staff(book):
    return cast.a_night()


def first_names(people):
    from browline.store.models import Person

    return {p.name.split()[0] for p in Person.objects.filter(pk__in=[m.person for m in people])}


def test_tonight_on_larch(staff):
    found = coverage.tonight(NIGHT)
    signed = [c.member for c in found.eligible if c.signed_off]
    assert first_names(signed) == {"Ana", "Bo", "Fay"}
    assert first_names([c.member for c in found.eligible if not c.signed_off]) == {"Cem", "Dee", "Ida"}
    assert first_names([m for m, _ in found.excluded]) == {"Gil"}
    assert {reason for _, reason in found.unknown} == {"not-listed", "no-role"}


def test_a_night_shift_of_yesterday_is_still_on_duty_before_it_ends(staff):
    assert len(coverage.tonight(datetime(2026, 3, 3, 6, 59, tzinfo=UTC)).people) == 6
    assert coverage.tonight(datetime(2026, 3, 3, 7, 1, tzinfo=UTC)).people == ()


def test_each_standing_of_the_cast(staff):
    stands = {name: statuses.standings(TODAY)[p.pk].stands for name, p in staff.items()}
    assert stands == {
        "Ana": Stands.SIGNED_OFF, "Bo": Stands.SIGNED_OFF, "Cem": Stands.NEVER, "Dee": Stands.NOT_YET,
        "Eve": Stands.NEVER, "Fay": Stands.SIGNED_OFF, "Gil": Stands.NEVER, "Hal": Stands.NEVER,
        "Ida": Stands.OVERDUE,
    }  # fmt: skip


def test_the_row_a_demonstration_leaves_among_the_sessions_counts_once(staff):
    (seen,) = statuses.observations([staff["Ana"].pk])[staff["Ana"].pk]
    assert seen.steps and seen.outcome == "signed-off"


def test_an_amendment_decides_and_a_withdrawn_record_counts_for_nothing(staff):
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    amended = demonstration(
        ana, staff["Bo"], stood.time, NO_LENS, amends=stood, reason="lens seen on the film"
    )
    assert statuses.standings(TODAY, [ana.pk])[ana.pk].stands is Stands.NOT_YET
    demonstration(
        ana, staff["Bo"], stood.time, NO_LENS, outcome="withdrawn", amends=amended, reason="another person"
    )
    assert statuses.standings(TODAY, [ana.pk])[ana.pk].stands is Stands.NEVER


def test_a_sign_off_brought_in_counts_and_says_that_it_has_no_steps(staff):
    fay = statuses.standings(TODAY, [staff["Fay"].pk])[staff["Fay"].pk]
    assert fay.current and not fay.last.steps


def test_the_months_are_those_of_the_checklist_in_force(staff):
    from browline.services.materials.documents import Approval, latest, new_version

    body = latest("checklist").body
    body["head"]["renewal_months"] = 36
    new_version("checklist", body, Approval(), read=1, actor="ines")
    assert statuses.standings(TODAY)[staff["Ida"].pk].until == date(2028, 2, 10)


def test_cells_of_four_weeks_put_floats_where_they_work(staff):
    on_duty(staff["Ana"], ward="Maple", day=TODAY + timedelta(days=3), kind="day")
    found = coverage.cells(*coverage.four_weeks(TODAY), TODAY)
    assert ("Maple", "day", "nurse", 1, 1) in [
        (c.ward, c.kind, c.role, c.n, c.signed_off) for c in found.cells
    ]
    assert len(found.people) == 6


@pytest.mark.parametrize(
    ("now", "night"),
    [("2026-03-02 14:00", "2026-03-02 22:00"), ("2026-03-02 22:30", "2026-03-02 22:30"),
     ("2026-03-03 05:59", "2026-03-03 05:59"), ("2026-03-03 06:00", "2026-03-03 22:00")],
)  # fmt: skip
def test_the_coming_night(book, now, night):
    moment = datetime.fromisoformat(now).replace(tzinfo=UTC)
    assert coverage.coming_night(moment) == datetime.fromisoformat(night).replace(tzinfo=UTC)


def test_due_are_the_ended_then_the_not_yet_then_the_soon(staff):
    demonstration(staff["Cem"], staff["Bo"], at(date(2025, 4, 1)))
    found = coverage.due(TODAY)
    assert [d.person for d in found] == [staff[name].pk for name in ("Ida", "Dee", "Cem")]


def test_those_away_for_long_are_not_due(staff):
    demonstration(staff["Gil"], staff["Bo"], at(date(2025, 1, 20)))
    assert staff["Gil"].pk not in [d.person for d in coverage.due(TODAY)]
    assert staff["Gil"].pk not in [r.person for r in coverage.refreshing(TODAY)]


def test_whom_to_see_again_by_the_heaviest_reasons(staff):
    found = {r.person: [reason.code for reason in r.reasons] for r in coverage.refreshing(TODAY)}
    assert list(found)[:2] == [staff["Dee"].pk, staff["Ida"].pk]
    assert found[staff["Fay"].pk] == ["first-year", "no-steps"]
    assert staff["Cem"].pk not in found


def test_what_the_review_saw_of_a_ward_is_a_reason_and_what_it_saw_of_a_person_is_not(staff):
    from browline.store.models import Finding, Review

    review = Review.objects.create(version="0")
    for kind, about, name in (("site-missing", "ward", "Larch"), ("repeat-too-soon", "person", "Larch")):
        Finding.objects.create(
            key=f"{kind}|{name}",
            kind=kind,
            subject_type=about,
            subject_id=name,
            first_review=review,
            last_review=review,
        )
    by_person = {r.person: r.reasons for r in coverage.refreshing(TODAY)}
    ana = by_person[staff["Ana"].pk]
    assert [(r.code, r.details) for r in ana if r.code == "ward"] == [("ward", ("readings without a site",))]
    assert all(r.code != "ward" for r in by_person[staff["Ida"].pk])


def test_few_duties_are_counted_only_where_the_roster_reaches_back(staff):
    reasons = [r.code for one in coverage.refreshing(TODAY) for r in one.reasons]
    assert "few-duties" not in reasons
    on_duty(staff["Cem"], day=TODAY - timedelta(days=28))
    for days in (1, 5, 9, 13):
        on_duty(staff["Ana"], day=TODAY - timedelta(days=days))
    few = {r.person for r in coverage.refreshing(TODAY) if "few-duties" in [x.code for x in r.reasons]}
    assert staff["Ana"].pk not in few and staff["Bo"].pk in few


def test_back_from_long_leave(staff):
    from browline.store.models import Absence

    Absence.objects.create(
        person=staff["Fay"],
        start=date(2025, 11, 10),
        end=date(2026, 2, 20),
        reason="long-leave",
        actor="ines",
    )
    found = {r.person: [reason.code for reason in r.reasons] for r in coverage.refreshing(TODAY)}
    assert "back" in found[staff["Fay"].pk]


def test_days_are_the_hospitals(staff):
    """Eleven in the evening of 4 Jan in Chicago is the 5th by UTC; the sign-off then holds from the 4th."""
    from browline.services.book.change_preference import set_choice

    cem = staff["Cem"]
    demonstration(cem, staff["Bo"], datetime(2026, 1, 5, 5, tzinfo=UTC))
    assert statuses.observations([cem.pk])[cem.pk][0].day == date(2026, 1, 5)
    set_choice("zone", "America/Chicago", "ines")
    assert statuses.observations([cem.pk])[cem.pk][0].day == date(2026, 1, 4)


def test_what_the_phone_records_amends_and_withdraws_is_followed(staff):
    """Through the duties that keep records, not rows written by hand."""
    from uuid import uuid4

    from browline.services.materials.documents import stored
    from browline.services.training import demonstrations
    from browline.services.training.demonstrations import amending as demonstrating_amending

    cem, now = staff["Cem"], datetime(2026, 3, 2, 12, tzinfo=UTC)

    def stands():
        return statuses.standings(TODAY, [cem.pk])[cem.pk].stands

    seen = demonstrations.Observation(
        uuid4(),
        cem.pk,
        staff["Bo"].pk,
        stored("checklist", date(2026, 1, 1)).pk,
        at(TODAY),
        cast.ALL_DONE,
        "patient",
    )
    made = demonstrations.record(seen, actor="ines", now=now).demonstration
    assert stands() is Stands.SIGNED_OFF and len(statuses.observations([cem.pk])[cem.pk]) == 1
    amended = demonstrating_amending.amend(
        made, "lens seen on the film", {"steps": NO_LENS}, actor="ines", now=now
    )
    assert stands() is Stands.NOT_YET
    demonstrating_amending.withdraw(amended.demonstration, "somebody else", actor="ines")
    assert stands() is Stands.NEVER


def test_sign_offs_of_an_imported_list(book, export):
    from browline.services.imports.run import import_file
    from browline.store.models import Person

    import_file(book, export("person,name,role,ward\nS1,Ada,nurse,Larch\n", "staff.csv"), kind="people")
    import_file(
        book, export("person,time,outcome\nS1,2026-02-01 10:00,signed off\n", "s.csv"), kind="sessions"
    )
    ada = Person.objects.get(identifier="S1")
    found = statuses.standings(TODAY, [ada.pk])[ada.pk]
    assert found.stands is Stands.SIGNED_OFF and not found.last.steps
