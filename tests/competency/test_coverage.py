"""Who counts where: three lines that add up, most left to see first, nothing small told to those without names."""

from collections import Counter
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import proportion_confint

from browline.competency.cells import FEWEST, Cell, cells, lowest_share_first, suppressed
from browline.competency.coverage import EXCLUDED, UNKNOWN, duty_snapshot, over_days, solve
from browline.competency.explain import cell_sentence, suppressed_sentence
from browline.competency.staff import Away, Duty, Member
from browline.competency.status import Observed, Rule, Standing, Stands, standing
from browline.shifts import ABSENCES, KINDS, ON_DUTY

MONDAY = date(2026, 3, 2)
NIGHT = datetime(2026, 3, 2, 23, tzinfo=UTC)
SIGNED = standing([Observed(date(2026, 1, 5), "signed-off")], Rule(), MONDAY)
NEVER = Standing(Stands.NEVER)


def member(number, standing=NEVER, **facts):
    return Member(number, **{"ward": "Larch", "role": "nurse", "standing": standing} | facts)


def night(person, ward="Larch", day=MONDAY, kind="night", **facts):
    start = datetime(day.year, day.month, day.day, 19, tzinfo=UTC)
    return Duty(person, day, ward, kind, **{"start": start, "end": start + timedelta(hours=12)} | facts)


def on(duties, *people, moment=NIGHT, day=MONDAY):
    return solve(duty_snapshot({m.person: m for m in people}, duties, moment, day))


def lines(found):
    return {
        "eligible": [c.member.person for c in found.eligible],
        "excluded": {m.person: reason for m, reason in found.excluded},
        "unknown": {m.person: reason for m, reason in found.unknown},
    }


def test_tonight_one_signed_off_and_one_not():
    found = on([night(1), night(2)], member(1, SIGNED), member(2))
    (cell,) = found.cells
    assert (cell.ward, cell.kind, cell.role, cell.n, cell.signed_off, cell.never) == (
        "Larch",
        "night",
        "nurse",
        2,
        1,
        1,
    )


@pytest.mark.parametrize(
    ("moment", "counted"),
    [(datetime(2026, 3, 2, 18, 59, tzinfo=UTC), 0), (datetime(2026, 3, 2, 19, tzinfo=UTC), 1),
     (datetime(2026, 3, 3, 6, 59, tzinfo=UTC), 1), (datetime(2026, 3, 3, 7, tzinfo=UTC), 0)],
)  # fmt: skip
def test_a_shift_counts_from_its_first_minute_to_the_one_before_its_end(moment, counted):
    assert len(on([night(1)], member(1), moment=moment, day=moment.date()).eligible) == counted


def test_floats_count_where_they_work_and_agency_once_observed():
    float_ = member(1, SIGNED, ward="Maple")
    agency = member(2, SIGNED, listed=False, role="")
    found = on([night(1), night(2)], float_, agency)
    assert {(c.ward, c.role) for c in found.cells} == {("Larch", "nurse"), ("Larch", "")}


def test_a_duty_without_a_ward_counts_at_home():
    assert on([night(1, ward="")], member(1)).cells[0].ward == "Larch"


@pytest.mark.parametrize("reason", ABSENCES)
def test_an_absence_excludes_with_its_reason_even_from_a_roster_that_has_them_on(reason):
    away = Away(reason, MONDAY, MONDAY)
    assert lines(on([night(1)], member(1, away=(away,))))["excluded"] == {1: reason}


def test_leave_on_the_roster_excludes_and_a_day_off_is_not_looked_at():
    found = on([night(1, kind="leave"), night(2, kind="off")], member(1), member(2))
    assert lines(found) == {"eligible": [], "excluded": {1: "leave"}, "unknown": {}}


def test_leavers_and_starters():
    found = on([night(1), night(2)], member(1, end=date(2026, 3, 1)), member(2, start=date(2026, 3, 3)))
    assert lines(found)["excluded"] == {1: "left", 2: "not-started"}


def test_unknown_are_those_of_whom_the_book_cannot_say():
    found = on(
        [night(1), night(2), night(3, start=None, end=None)],
        member(1, listed=False),
        member(2, role=""),
        member(3),
    )
    assert lines(found)["unknown"] == {1: "not-listed", 2: "no-role", 3: "no-hours"}


def test_over_days_a_person_stands_once_in_every_cell_they_work_in():
    duties = [night(1, day=MONDAY + timedelta(days=k)) for k in range(5)] + [
        night(1, ward="Maple", kind="early")
    ]
    found = solve(over_days({1: member(1, SIGNED)}, duties, MONDAY, MONDAY + timedelta(days=27)))
    assert {(c.ward, c.kind, c.n) for c in found.cells} == {("Larch", "night", 1), ("Maple", "early", 1)}
    assert len(found.people) == 1 and found.signed_off == 1


def test_on_the_staff_list_and_on_no_roster_is_unknown():
    people = {1: member(1), 2: member(2)}
    found = solve(over_days(people, [night(1)], MONDAY, MONDAY))
    assert lines(found)["unknown"] == {2: "no-duty"}


def test_without_any_roster_the_staff_list_stands_in():
    found = solve(over_days({1: member(1), 2: member(2, listed=False)}, [], MONDAY, MONDAY))
    assert lines(found) == {"eligible": [1], "excluded": {}, "unknown": {}} and found.cells[0].kind == ""


def test_a_leave_that_ends_within_the_days_does_not_exclude():
    away = Away("long-leave", MONDAY, MONDAY + timedelta(days=2))
    later = night(1, day=MONDAY + timedelta(days=3))
    found = solve(
        over_days({1: member(1, away=(away,))}, [night(1), later], MONDAY, MONDAY + timedelta(days=6))
    )
    assert lines(found)["eligible"] == [1] and not found.excluded


people = st.builds(
    member, st.just(0), st.sampled_from([SIGNED, NEVER]), ward=st.sampled_from(["Larch", "Maple", ""]),
    role=st.sampled_from(["nurse", ""]), listed=st.booleans(), end=st.sampled_from([None, date(2026, 3, 1)]),
    away=st.sampled_from([(), (Away("long-leave", MONDAY),)]),
)  # fmt: skip
rosters = st.lists(
    st.tuples(st.integers(0, 7), st.sampled_from(["Larch", "Maple", ""]), st.sampled_from(list(KINDS))),
    max_size=20,
)


@given(st.lists(people, min_size=8, max_size=8), rosters)
def test_everybody_met_is_in_one_line_and_no_other(staff, roster):
    staff = {i: Member(**vars(m) | {"person": i}) for i, m in enumerate(staff)}
    duties = [night(p, ward=w, kind=k) for p, w, k in roster]
    found = solve(over_days(staff, duties, MONDAY, MONDAY))
    lined = Counter([m.person for m in found.people])
    lined.update(m.person for line in (found.excluded, found.unknown) for m, _ in line)
    met = {p for p, _, k in roster if k != "off"} if any(k in ON_DUTY for _, _, k in roster) else set()
    met |= {p for p, _, k in roster if k != "off" and k not in ON_DUTY}
    assert set(lined.values()) <= {1}
    assert set(lined) == met | {i for i, m in staff.items() if m.listed}
    assert all(reason in EXCLUDED for _, reason in found.excluded)
    assert all(reason in UNKNOWN for _, reason in found.unknown)


@given(st.lists(people, min_size=8, max_size=8), rosters)
def test_cells_add_up(staff, roster):
    staff = {i: Member(**vars(m) | {"person": i}) for i, m in enumerate(staff)}
    found = solve(over_days(staff, [night(p, ward=w, kind=k) for p, w, k in roster], MONDAY, MONDAY))
    assert sum(c.n for c in found.cells) == len(found.eligible)
    for c in found.cells:
        assert c.signed_off + c.overdue + c.not_yet + c.never == c.n
        # The same interval by another library.
        assert (c.low, c.high) == pytest.approx(
            proportion_confint(c.signed_off, c.n, method="wilson"), abs=1e-12
        )


def cell(n, signed_off, ward="Larch"):
    from browline.quantities.shares import wilson

    return Cell(ward, "night", "nurse", n, signed_off, *wilson(signed_off, n))


def test_most_left_first_puts_nine_of_ten_before_one_of_one_and_before_many_of_a_large_ward():
    one, ten, large = cell(1, 0, "one"), cell(10, 1, "ten"), cell(60, 40, "large")
    assert [c.ward for c in lowest_share_first([one, large, ten])] == ["ten", "large", "one"]


def test_a_cell_in_words():
    assert (
        cell_sentence(cell(12, 3))
        == "Larch, night shift, nurse: 3 of 12 signed off (25 %, likely 9 to 53 %)."
    )


small = st.integers(0, 30).flatmap(lambda n: st.tuples(st.just(n), st.integers(0, n))).filter(lambda t: t[0])


def test_nobody_can_infer_a_small_number_from_what_a_cell_tells():
    """Everything that may stand behind each telling is listed: never fewer than five numbers where one is small."""
    behind = {}
    for n in range(1, 41):
        for k in range(n + 1):
            behind.setdefault(suppressed([cell(n, k)])[0], set()).add((n, k))
    for told in behind.values():
        are, are_not = {k for _, k in told}, {n - k for n, k in told}
        assert min(are) >= FEWEST or len(are) >= 5, told
        assert min(are_not) >= FEWEST or len(are_not) >= 5, told
    assert len(behind) > 100


def test_a_large_cell_is_told_and_a_small_one_is_not():
    told = {(v.n, v.signed_off) for v in suppressed([cell(20, 9), cell(9, 5), cell(12, 3), cell(12, 12)])}
    assert told == {(20, 9), (None, None), (12, None)}


@given(st.lists(small, min_size=2, max_size=6), st.data())
def test_the_order_told_is_worked_out_from_what_is_told(made, data):
    """Whatever small numbers are put in place of others that look the same, the order stays."""
    first = [cell(n, k, ward=f"W{i}") for i, (n, k) in enumerate(made)]
    like = {v.ward: v for v in suppressed(first)}
    second = []
    for c in first:
        same = [k for k in range(c.n + 1) if suppressed([cell(c.n, k, c.ward)])[0] == like[c.ward]]
        second.append(cell(c.n, data.draw(st.sampled_from(same)), c.ward))
    assert suppressed(first) == suppressed(second)


def test_veiled_words():
    told = {
        v.ward: suppressed_sentence(v)
        for v in suppressed([cell(9, 5, "a"), cell(12, 3, "b"), cell(12, 11, "c"), cell(20, 9, "d")])
    }
    assert told == {
        "a": "too few people to show",
        "b": "fewer than 5 of 12 signed off",
        "c": "fewer than 5 of 12 still to be signed off",
        "d": "9 of 20 signed off",
    }


def test_a_person_nobody_described_is_refused():
    with pytest.raises(ValueError, match="nobody is described"):
        duty_snapshot({}, [night(1)], NIGHT, MONDAY)


def test_cells_of_nobody():
    assert cells([]) == ()


def test_a_leaver_is_called_the_same_by_the_roster_and_by_the_register():
    assert EXCLUDED["left"] == "has left"
