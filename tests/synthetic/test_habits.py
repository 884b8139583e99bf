"""Habits of wards: each on its own ward, each as strong as the truth says, each row that shows it on record."""

import numpy as np

from browline.synthetic import Hospital, invent
from browline.synthetic.charting import SLIPS, displayed_celsius
from browline.synthetic.charting_habits import (
    BATCH_ROUNDS,
    BATCH_SHARE,
    EDGE_SHARE,
    HOURLY_SHARE,
    SPIKE_LEFT,
    SPIKE_SHARE,
)

HABITS = {
    "spike": "spike",
    "copies": "copied",
    "batches": "batched",
    "edge": "edge",
    "on_the_hour": "on-the-hour",
    "site_switching": "site-switched",
}


def column(hospital: Hospital, name: str) -> np.ndarray:
    return hospital.tables["readings"][name]


def rows(hospital: Hospital, kind: str) -> np.ndarray:
    return np.array(hospital.truth["rows_of"][kind], dtype=int) - 1


def ward_of(hospital: Hospital, habit: str) -> np.ndarray:
    return column(hospital, "ward") == hospital.truth["wards"][habit]["ward"]


def within(count: float, n: float, share: float) -> bool:
    """Whether a count is within four standard errors of a planted share."""
    return bool(abs(count - share * n) < 4 * np.sqrt(n * share * (1 - share)))


def slipped(hospital: Hospital) -> set[int]:
    """Rows whose cell is not the number charted, but a word or a slip."""
    kinds = (*SLIPS, "fahrenheit-as-shown")
    return set(np.concatenate([rows(hospital, k) for k in kinds]).tolist())


def test_every_habit_has_a_ward_of_its_own(small: Hospital) -> None:
    wards = small.truth["wards"]
    own = [wards[h]["ward"] for h in (*HABITS, "keyed_late", "site_left_out", "cold_months")]
    assert len(set(own)) == len(own)
    assert not set(own) & set(wards["in_fahrenheit"])
    assert wards["few_instruments"]["ward"] == wards["spike"]["ward"]
    for habit, kind in HABITS.items():
        assert len(rows(small, kind)) > 40
        assert set(column(small, "ward")[rows(small, kind)]) == {wards[habit]["ward"]}, habit


def test_a_hospital_with_few_wards_has_every_habit_all_the_same(few: Hospital) -> None:
    assert len(set(column(few, "ward"))) == 4
    for kind in (*HABITS.values(), "keyed-late"):
        assert len(rows(few, kind)) > 0, kind


def test_the_spike_falls_when_the_form_loses_its_default(small: Hospital) -> None:
    truth, events = small.truth["wards"]["spike"], small.tables["events"]
    event = events["what"] == "observation form: default temperature removed"
    assert (events["time"][event].tolist(), events["ward"][event].tolist()) == (
        [truth["until"]],
        [truth["ward"]],
    )
    first, last = small.house.clock.span
    time = small.latent.time[small.row_reading]
    before = time < first + 0.7 * (last - first)
    spike = np.isin(np.arange(len(time)), rows(small, "spike"))
    ward = ward_of(small, "spike")
    assert within(spike[ward & before].sum(), (ward & before).sum(), SPIKE_SHARE)
    assert within(spike[ward & ~before].sum(), (ward & ~before).sum(), SPIKE_LEFT)
    assert (truth["share"], truth["share_after"]) == (SPIKE_SHARE, SPIKE_LEFT)
    written = column(small, "time")[ward & ~before]
    assert written.min() >= truth["until"][:10]


def test_a_batched_number_is_that_of_the_patient_before(small: Hospital) -> None:
    latent, odd = small.latent, slipped(small)
    row_of = {int(r): i for i, r in reversed(list(enumerate(small.row_reading)))}
    first = np.flatnonzero((latent.ward == small.house.wards.habits.batches) & (latent.retake_of < 0))
    first = first[np.lexsort((latent.stay[first], latent.time[first]))]
    place = {int(r): k for k, r in enumerate(first)}
    value, checked = column(small, "value"), 0
    for row in rows(small, "batched"):
        reading = int(small.row_reading[row])
        before = int(first[place[reading] - 1])
        assert latent.stay[before] != latent.stay[reading]
        assert 0 <= latent.time[reading] - latent.time[before] < 1.0
        if row not in odd and row_of[before] not in odd:
            assert value[row] == value[row_of[before]]
            checked += 1
    assert checked > 200


def test_batches_come_in_some_rounds_and_there_often(small: Hospital) -> None:
    """Share of the neighbours in a round: 0.15 of rounds times 0.8; whole rounds, so a wide interval."""
    latent, clock = small.latent, small.house.clock
    first = np.flatnonzero((latent.ward == small.house.wards.habits.batches) & (latent.retake_of < 0))
    first = first[np.argsort(latent.time[first], kind="stable")]
    round_ = np.floor((clock.wall(latent.time[first]) + 1) / 2)
    near = (np.diff(round_) == 0) & (np.diff(latent.time[first]) < 1) & (np.diff(latent.stay[first]) != 0)
    batched = np.isin(first[1:], small.row_reading[rows(small, "batched")])
    assert abs(batched[near].mean() / (BATCH_ROUNDS * BATCH_SHARE) - 1) < 0.3
    chosen = np.isin(round_[1:], round_[1:][batched])
    assert within(batched[near & chosen].sum(), (near & chosen).sum(), BATCH_SHARE)


def test_readings_from_the_line_on_are_charted_just_below_it(small: Hospital) -> None:
    shown = np.round(displayed_celsius(small.latent, small.house.fleet)[small.row_reading], 1)
    edged, odd = rows(small, "edge"), slipped(small)
    assert all(38.0 <= shown[r] <= 38.2 for r in edged)
    assert {column(small, "value")[r] for r in edged if r not in odd} == {"37.9"}
    ward = ward_of(small, "edge")
    near = ward & (shown >= 38.0) & (shown <= 38.2)
    assert within(len(edged), near.sum(), EDGE_SHARE)


def test_times_are_put_to_the_full_hour_and_pairs_keep_together(small: Hospital) -> None:
    hourly, time = rows(small, "on-the-hour"), column(small, "time")
    assert all(t.endswith(":00") for t in time[hourly])
    true = small.house.clock.wall(small.latent.time[small.row_reading])
    days = (np.array([t[:10] for t in time], dtype="datetime64[D]") - np.datetime64("1970-01-01")).astype(int)
    charted = days * 24 + np.array([int(t[11:13]) + int(t[14:]) / 60 for t in time])
    plain = [r for r in hourly if time[r][:10] not in ("2025-10-26", "2026-03-29")]  # the clocks change
    assert np.abs(charted - true)[plain].max() <= 0.5 + 1e-6
    ward = ward_of(small, "on_the_hour")
    first = ward & (small.latent.retake_of[small.row_reading] < 0)
    retaken = np.isin(small.row_reading, small.latent.retake_of)
    assert within(len(hourly), (first & ~retaken).sum(), HOURLY_SHARE)
    written: dict[tuple[int, float], set[str]] = {}
    for row in np.flatnonzero(first):
        reading = small.row_reading[row]
        key = (int(small.latent.stay[reading]), float(small.latent.time[reading]))
        written.setdefault(key, set()).add(time[row])
    pairs = [w for w in written.values() if len(w) > 1]
    assert len(pairs) < 0.2 * len(written)  # only the honest heaping on five minutes parts a pair
    assert all(max(w)[:14] == min(w)[:14] for w in pairs)


def test_one_ward_keys_many_shifts_when_they_end(small: Hospital) -> None:
    late = np.isin(np.arange(small.truth["rows"]), rows(small, "keyed-late"))
    ward = ward_of(small, "keyed_late")
    assert 0.25 < late[ward].mean() < 0.45
    assert late[~ward].mean() < 0.05
    keyed = column(small, "entered")[late & ward]
    hours = np.array([int(t[11:13]) for t in keyed])
    assert np.isin(hours, (6, 7, 8, 18, 19, 20)).mean() > 0.98  # the shifts change at 07 and 19
    assert not np.isin(np.array([int(t[11:13]) for t in column(small, "time")[late]]), (7, 19)).all()


def test_sites_change_within_a_stay_on_one_ward(small: Hospital) -> None:
    latent, switching = small.latent, small.house.wards.habits.switching
    first = np.flatnonzero((latent.retake_of < 0) & (latent.site != 5))
    same = np.diff(latent.stay[first], prepend=-1) == 0
    changed = same & (np.diff(latent.site[first], prepend=-1) != 0)
    here = latent.ward[first] == switching
    assert changed[here & same].mean() > 0.35 and changed[~here & same].mean() < 0.12
    on_record = np.unique(small.row_reading[rows(small, "site-switched")])
    assert on_record.tolist() == first[changed & here].tolist()


def test_the_ward_with_the_spike_has_too_few_instruments(small: Hospital) -> None:
    register, truth = small.tables["instruments"], small.truth["wards"]["few_instruments"]
    scanners = register["kind"] == "forehead-scan"
    count = {w: int((register["ward"][scanners] == w).sum()) for w in set(column(small, "ward"))}
    assert count.pop(truth["ward"]) == truth["scanners"] == 1
    assert min(count.values()) >= 2
    assert np.isclose(np.mean(list(count.values())), truth["scanners_elsewhere"])
    honest = invent(20_000, seed=2, faults=()).truth["wards"]["few_instruments"]
    assert honest["scanners"] == 1 and honest["scanners_elsewhere"] > 1.5
