"""Where instruments are: exactly one state each, one denominator, the same whatever order records come in."""

from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from browline.instruments import Entry, Problem, Sighted, State, solve
from browline.instruments.records import STATES

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)
TODAY = NOW.date()
WARDS = ("Larch", "Maple", "Yew", "")


def ago(**span):
    return NOW - timedelta(**span)


def seen(state, ward="Larch", **span):
    return Sighted.from_words("FS-07", ago(**span), state, ward=ward)


def place(*sightings, now=NOW, locate_days=7, **entry):
    register = (Entry("FS-07", **{"ward": "Larch"} | entry),)
    return solve(Problem(now, register, tuple(sightings), locate_days=locate_days)).places["FS-07"]


@pytest.mark.parametrize(
    "sightings, state, ward",
    [
        ((), State.NOT_LOCATED, ""),
        ((seen("present", hours=2),), State.PRESENT, "Larch"),
        ((seen("in-use", "Maple", hours=2),), State.IN_USE, "Maple"),
        ((seen("present", days=7),), State.PRESENT, "Larch"),
        ((seen("present", days=7, minutes=1),), State.NOT_LOCATED, "Larch"),
        ((seen("present", hours=2), seen("not-located", hours=1)), State.NOT_LOCATED, "Larch"),
        ((seen("not-located", hours=2), seen("present", hours=1)), State.PRESENT, "Larch"),
        # Missed at home by one round after another found it elsewhere: it is where it was found.
        ((seen("present", "Maple", hours=2), seen("not-located", "Larch", hours=1)), State.PRESENT, "Maple"),
        # Looked for everywhere.
        ((seen("present", "Maple", hours=2), seen("not-located", "", hours=1)), State.NOT_LOCATED, "Maple"),
        # Two rounds at one moment on one ward: the less welcome answer stands.
        ((seen("present", hours=1), seen("not-located", hours=1)), State.NOT_LOCATED, "Larch"),
    ],
)
def test_where_it_is_follows_from_the_rounds(sightings, state, ward):
    for order in permutations(sightings):
        found = place(*order)
        assert (found.state, found.ward) == (state, ward)


@pytest.mark.parametrize("locate_days, state", [(1, State.NOT_LOCATED), (3, State.PRESENT)])
def test_how_long_a_sighting_is_good_is_a_choice(locate_days, state):
    assert place(seen("present", days=2), locate_days=locate_days).state is state


@pytest.mark.parametrize(
    "end, state, found_retired",
    [
        (TODAY, State.PRESENT, False),
        (TODAY - timedelta(days=1), State.RETIRED, True),
        (None, State.PRESENT, False),
    ],
)
def test_the_last_day_of_service_is_still_in_service(end, state, found_retired):
    found = place(seen("present", hours=1), end=end)
    assert (found.state, found.after_retirement) == (state, found_retired)


def test_one_retired_and_not_seen_since_is_no_matter():
    assert not place(seen("present", days=30), end=TODAY - timedelta(days=20)).after_retirement


def test_two_places_on_one_round_are_shown():
    found = place(seen("present", "Larch", hours=3), seen("present", "Maple", hours=1))
    assert found.ward == "Maple" and [s.ward for s in found.elsewhere] == ["Larch"]


@pytest.mark.parametrize(
    "first",
    [seen("present", "Larch", days=1), seen("present", "", hours=3), seen("not-located", "Larch", hours=3)],
)
def test_another_day_or_a_ward_not_said_is_no_conflict(first):
    assert place(first, seen("present", "Maple", hours=1)).elsewhere == ()


def test_today_is_the_wards_own_day():
    """23:30 UTC on the 8th is the 9th in Sydney: retired from the 9th on there, not in UTC."""
    from zoneinfo import ZoneInfo

    night = datetime(2026, 3, 8, 23, 30, tzinfo=UTC)
    sydney = night.astimezone(ZoneInfo("Australia/Sydney"))
    assert place(now=night, end=date(2026, 3, 8)).state is not State.RETIRED
    assert place(now=sydney, end=date(2026, 3, 8)).state is State.RETIRED


NAMES = [f"FS-{n:02d}" for n in range(8)]
DAYS = st.one_of(st.none(), st.integers(-20, 20).map(lambda d: TODAY + timedelta(days=d)))
ENTRIES = st.lists(
    st.builds(
        Entry, st.sampled_from(NAMES), ward=st.sampled_from(WARDS), start=DAYS, end=DAYS, listed=st.booleans()
    ),
    max_size=8,
    unique_by=lambda entry: entry.name,
)
SIGHTINGS = st.lists(
    st.builds(
        lambda name, hours, state, ward: Sighted.from_words(name, ago(hours=hours), state, ward=ward),
        st.sampled_from(NAMES),
        st.integers(0, 24 * 12),
        st.sampled_from(STATES),
        st.sampled_from(WARDS),
    ),
    max_size=30,
)


@settings(deadline=None)
@given(ENTRIES, SIGHTINGS, st.randoms())
def test_everyone_is_in_one_state_and_the_counts_sum_to_the_register(entries, sightings, random):
    fleet = solve(Problem(NOW, tuple(entries), tuple(sightings)))
    count, listed = fleet.count, [entry for entry in entries if entry.listed]
    assert count.registered == len(listed)
    assert count.in_service + count.retired + count.later == len(listed)
    assert count.unlisted == len(entries) - len(listed)
    named = [p.entry.name for state in State for p in fleet.that_are(state)] + [e.name for e in fleet.later]
    assert sorted(named) == sorted(entry.name for entry in listed)
    assert set(fleet.lenses) == {n for n, p in fleet.places.items() if p.state is not State.RETIRED}
    here = [name for kit in fleet.wards for name in (*kit.ready, *kit.unready)]
    assert len(here) == len(set(here)) == count.located
    assert sum(len(kit.missing) for kit in fleet.wards) == count.not_located
    random.shuffle(sightings)
    assert solve(Problem(NOW, tuple(entries), tuple(sightings))) == fleet


@settings(deadline=None)
@given(SIGHTINGS)
def test_hearing_of_a_round_twice_changes_nothing(sightings):
    entries = tuple(Entry(name, ward="Larch") for name in NAMES)
    once = solve(Problem(NOW, entries, tuple(sightings)))
    assert solve(Problem(NOW, entries, tuple(sightings * 2))) == once


@pytest.mark.parametrize(
    "wrong",
    [
        {"now": NOW.replace(tzinfo=None)},
        {"register": (Entry("FS-07"), Entry("FS-07"))},
        {"clean_days": 0},
        {"locate_days": 0},
    ],
)
def test_a_question_with_two_answers_is_not_asked(wrong):
    with pytest.raises(ValueError):
        Problem(**{"now": NOW, "register": ()} | wrong)
