"""What a nurse would recognise: rounds, fevers in the evening, retakes, shifts, and factors that cross."""

import numpy as np

from browline.synthetic import Hospital, readings_of
from browline.synthetic.people import DAYS, NIGHTS
from browline.synthetic.sites import BLADDER


def test_temperatures_peak_in_the_late_afternoon_and_are_lowest_about_six(small: Hospital) -> None:
    """Two harmonics fitted to the readings as shown; hours published by Mackowiak 1992 (4-6 PM, 6 AM)."""
    readings = readings_of(small)
    w = 2 * np.pi / 24

    def waves(h: np.ndarray) -> np.ndarray:
        return np.stack([np.ones_like(h), *(f(k * w * h) for k in (1, 2) for f in (np.cos, np.sin))], axis=1)

    fitted = np.linalg.lstsq(waves(readings.hour), readings.value, rcond=None)[0]
    hour = np.arange(0, 24, 0.1)
    curve = waves(hour) @ fitted
    assert 15.5 < hour[curve.argmax()] < 18.5
    assert 4.5 < hour[curve.argmin()] < 7.5
    assert 0.4 < np.ptp(curve) < 0.6


def test_fever_is_commoner_in_the_evening_than_in_the_morning(small: Hospital) -> None:
    """Direction only: published relative risk 2.5 (2.0-3.3) for 19-21 h against 07-09 h (practice, finding 5)."""
    readings = readings_of(small)
    evening = readings.value[(readings.hour >= 19) & (readings.hour < 21)] >= 38
    morning = readings.value[(readings.hour >= 7) & (readings.hour < 9)] >= 38
    assert evening.mean() > 1.2 * morning.mean()


def test_retakes_are_within_half_an_hour_and_selected_by_value(small: Hospital) -> None:
    latent = small.latent
    retake = np.flatnonzero(latent.retake_of >= 0)
    first = latent.retake_of[retake]
    wait = latent.time[retake] - latent.time[first]
    assert (latent.stay[first] == latent.stay[retake]).all()
    assert wait.min() >= 0 and wait.max() < 0.5
    assert abs(len(retake) / len(latent) - small.truth["retakes"]["share"]) < 1e-12
    plain = (latent.measured[first] > 36.5) & (latent.measured[first] < 37.5)
    was_first = (latent.retake_of < 0) & (latent.site != BLADDER)
    ordinary = was_first & (latent.measured > 36.5) & (latent.measured < 37.5)
    low = was_first & (latent.measured < 35.7)
    taken_again = np.isin(np.arange(len(latent)), first)
    assert taken_again[low].mean() > 3 * taken_again[ordinary].mean()
    assert plain.sum() > 300  # some retakes are for no reason, else no pair estimate can be made


def test_some_retakes_change_the_instrument_and_some_the_site(small: Hospital) -> None:
    latent = small.latent
    retake = np.flatnonzero(latent.retake_of >= 0)
    first = latent.retake_of[retake]
    assert 0.1 < (latent.site[retake] != latent.site[first]).mean() < 0.3
    same_site = latent.site[retake] == latent.site[first]
    assert 0.1 < (latent.instrument[retake] != latent.instrument[first])[same_site].mean() < 0.6


def test_a_stay_is_in_one_place_at_a_time_and_a_patient_in_one_stay(small: Hospital) -> None:
    latent, stays = small.latent, small.stays
    step = np.diff(latent.time)[np.diff(latent.stay) == 0]
    assert (step >= 0).all()
    order = np.lexsort((stays.bounds[:, 0], stays.patient))
    same = np.diff(stays.patient[order]) == 0
    assert same.sum() > 50
    assert (stays.bounds[order, 0][1:] > stays.bounds[order, 3][:-1])[same].all()


def test_day_people_read_by_day_and_night_people_by_night(small: Hospital) -> None:
    latent, house = small.latent, small.house
    own = house.people.ward[latent.person] == latent.ward
    hour = house.clock.hour(latent.time)
    by_day = (hour >= 7) & (hour < 19)
    pattern = house.people.pattern[latent.person]
    assert by_day[own & (pattern == DAYS)].mean() > 0.97
    assert by_day[own & (pattern == NIGHTS)].mean() < 0.03


def test_people_wards_and_instruments_cross(small: Hospital) -> None:
    """Most scanners are read on several wards and by many people, but mostly at home."""
    latent, house = small.latent, small.house
    scanners = [d for d in house.fleet.of_kind(0) if (latent.instrument == d).sum() > 300]
    for d in scanners:
        used = latent.instrument == d
        assert len(np.unique(latent.ward[used])) >= 3
        assert len(np.unique(latent.person[used])) >= 15
    home = [(latent.ward[latent.instrument == d] == house.fleet.ward[d]).mean() for d in scanners]
    assert np.median(home) > 0.5
    stays_that_move = np.unique(
        np.unique(np.stack([latent.stay, latent.ward]), axis=1)[0], return_counts=True
    )[1]
    assert (stays_that_move > 1).mean() > 0.2


def test_nights_come_to_fewer_sessions_and_readings_lie_on_both_sides_of_sign_off(small: Hospital) -> None:
    people, training = small.house.people, small.house.training
    signed = np.isfinite(training.signed_off[:-1])
    nights = people.pattern[:-1] == NIGHTS
    assert signed[nights].mean() < 0.6 * signed[~nights].mean()
    after = small.latent.time >= training.signed_off[small.latent.person]
    assert 0.15 < after.mean() < 0.7
    assert (small.tables["sessions"]["outcome"] == "signed-off").sum() == signed.sum()


def test_one_ward_reads_high_in_the_cold_months_only(small: Hospital) -> None:
    latent, house = small.latent, small.house
    off = latent.measured - latent.at_site - latent.instrument_part - latent.person_part
    ward = (latent.ward == house.wards.cold) & (latent.site == 0)
    cold = np.isin(house.clock.month(latent.time) % 12 + 1, (12, 1, 2))
    gap = off[ward & cold].mean() - off[ward & ~cold].mean()
    assert abs(gap - small.truth["wards"]["cold_months"]["size_c"]) < 0.1


def test_bladder_probes_are_charted_beside_another_site_in_intensive_care(small: Hospital) -> None:
    latent, wards = small.latent, small.house.wards
    probe = latent.site == BLADDER
    assert probe.sum() > 300
    assert set(wards.care[latent.ward[probe]]) == {"intensive"}
    other = set(zip(latent.stay[~probe].tolist(), latent.time[~probe].tolist(), strict=True))
    assert all(
        (s, t) in other for s, t in zip(latent.stay[probe].tolist(), latent.time[probe].tolist(), strict=True)
    )


def test_lenses_are_cleaned_about_every_fortnight_and_some_far_too_seldom(small: Hospital) -> None:
    """14 days is common practice, no source."""
    fleet, cleanings = small.house.fleet, small.house.cleanings
    same = np.diff(cleanings.instrument) == 0
    gap = np.diff(cleanings.time)[same] / 24
    neglected = fleet.neglected[cleanings.instrument[1:]][same]
    assert 13 < gap[~neglected].mean() < 15
    assert neglected.any() and gap[neglected].mean() > 30
