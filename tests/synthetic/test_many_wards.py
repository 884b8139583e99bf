"""Many wards: what each planted share is a share of, the numbers charted in every unit, and speed."""

import time

import numpy as np
import pytest

from browline.synthetic.many_wards import ManyWards, many_wards
from browline.synthetic.plant import Plant, origins
from browline.synthetic.tenths import converted

RNG = np.random.default_rng


@pytest.fixture(scope="module")
def honest() -> ManyWards:
    return many_wards(RNG(1), wards=300)


def within(count: int, n: int, share: float) -> bool:
    """Whether a count is within four standard errors of a planted share."""
    return bool(abs(count - share * n) < 4 * np.sqrt(n * share * (1 - share)))


def test_every_ward_has_exactly_the_readings_asked_for(honest: ManyWards) -> None:
    assert (np.bincount(honest.readings.codes["ward"]) == 600).all()
    for few in (20, 3000):
        many = many_wards(RNG(2), wards=7, readings=few, care="intensive")
        assert np.bincount(many.readings.codes["ward"]).tolist() == [few] * 7


def test_honest_wards_look_like_wards(honest: ManyWards) -> None:
    """Stays of 2 to 9 days, rounds 4 to 6 h apart, and some fevers; ranges are those asked for."""
    r = honest.readings
    same = honest.stay_before >= 0
    wait = r.time[same] - r.time[honest.stay_before[same]]
    assert 4 < np.median(wait) < 6 and wait.min() > 1
    begin, end = np.full(r.codes["stay"].max() + 1, np.inf), np.zeros(r.codes["stay"].max() + 1)
    np.minimum.at(begin, r.codes["stay"], r.time)
    np.maximum.at(end, r.codes["stay"], r.time)
    assert 2.5 < np.median((end - begin)[end - begin > 24]) / 24 < 5 and (end - begin).max() < 9 * 24
    assert 0.02 < (r.value >= 38.0).mean() < 0.06
    assert 0.45 < r.value.std() < 0.65


def test_an_honest_ward_is_planted_with_nothing(honest: ManyWards) -> None:
    for mask in ("spiked", "copied", "batched", "edged", "slipped", "late", "on_hour"):
        assert not getattr(honest, mask).any(), mask
    assert np.abs(honest.readings.value - honest.measured).max() <= 0.05 + 1e-9


def test_times_are_whole_minutes_in_order_and_heaped_on_five(honest: ManyWards) -> None:
    minute = honest.readings.time * 60
    assert np.abs(minute - np.round(minute)).max() < 1e-5
    same = np.diff(honest.readings.codes["ward"]) == 0
    assert (np.diff(minute)[same] > -0.5).mean() > 0.999  # a round begins after the one before it
    assert 0.35 < (np.round(minute) % 5 == 0).mean() < 0.45  # a quarter of the rounds besides chance


def test_the_same_seed_gives_the_same_wards() -> None:
    a, b = (many_wards(RNG(5), wards=3, readings=50) for _ in range(2))
    c = many_wards(RNG(6), wards=3, readings=50)
    assert np.array_equal(a.readings.value, b.readings.value)
    assert not np.array_equal(a.readings.value, c.readings.value)


@pytest.mark.parametrize("care", ["ward", "intensive"])
def test_44_percent_of_a_fahrenheit_ward_cannot_come_from_a_celsius_instrument(care: str) -> None:
    """Arithmetic: of the 18 tenths of °F in 1 °C, 10 are conversions of tenths of °C; 8/18 = 44 % are none."""
    many = many_wards(RNG(3), wards=100, charting="F", care=care)  # type: ignore[arg-type]
    tenths = np.round(many.readings.charted.value * 10).astype(int)  # type: ignore[union-attr]
    reached = np.unique(np.round(np.arange(250, 450) * 1.8 + 320).astype(int))
    assert abs((~np.isin(tenths, reached)).mean() - 8 / 18) < 0.02
    converted_ward = many_wards(RNG(3), wards=20, charting="C-as-F", care=care)  # type: ignore[arg-type]
    tenths = np.round(converted_ward.readings.charted.value * 10).astype(int)  # type: ignore[union-attr]
    assert np.isin(tenths, reached).all()


def test_fahrenheit_instruments_charted_in_celsius_show_every_tenth_but_unevenly() -> None:
    """Arithmetic: a tenth of °C is reached from one or two tenths of °F; 37.0 from 98.6 alone, 36.9 from two."""
    many = many_wards(RNG(3), wards=300, charting="F-as-C")
    tenths = np.bincount(np.round(many.readings.value * 10).astype(int), minlength=400)
    from_f = np.bincount(np.round((np.arange(900, 1060) - 320) / 1.8).astype(int), minlength=400)
    assert set(from_f[360:380]) == {1, 2}
    share = tenths[360:380] / (0.5 * (tenths[359:379] + tenths[361:381]))
    assert share[from_f[360:380] == 2].min() > share[from_f[360:380] == 1].max()


def test_mixed_wards_have_half_their_instruments_in_fahrenheit() -> None:
    many = many_wards(RNG(4), wards=50, charting="mixed")
    assert 0.4 < many.instrument_fahrenheit.mean() < 0.6
    used = np.unique(np.stack([many.readings.codes["instrument"], many.instrument_fahrenheit]), axis=1)
    assert len(np.unique(used[0])) == used.shape[1]  # an instrument shows one unit only
    assert not many.readings.charted.fahrenheit.any()  # type: ignore[union-attr]
    assert many_wards(RNG(4), wards=5, charting="mixed-as-F").readings.charted.fahrenheit.all()  # type: ignore[union-attr]


def test_each_share_is_of_what_the_docstring_says() -> None:
    plant = Plant(
        spike=(36.0, 0.11),
        copies=0.12,
        batches=0.07,
        edge=(38.0, 0.5),
        unit_slips=0.02,
        late=0.2,
        round_hour=0.15,
    )
    many, n = many_wards(RNG(7), wards=300, plant=plant), 300 * 600
    follows, next_bed = many.stay_before >= 0, many.round_before >= 0
    assert within(many.spiked.sum(), n, 0.11)
    assert within(many.copied.sum(), follows.sum(), 0.12)
    assert within(many.batched.sum(), next_bed.sum(), 0.07)
    assert within(many.slipped.sum(), n, 0.02)
    assert within(many.on_hour.sum(), n, 0.15)
    assert abs(many.late.mean() - 0.2) < 0.02
    honest = many_wards(RNG(7), wards=300).readings
    own = ~many.spiked & ~many.copied & ~many.batched
    near = own & (honest.value >= 37.95) & (honest.value < 38.25)
    assert within(many.edged.sum(), near.sum(), 0.5) and not (many.edged & ~near).any()


def test_what_is_planted_is_what_stands_in_the_chart() -> None:
    plant = Plant(spike=(36.0, 0.1), copies=0.2, batches=0.2, edge=(38.0, 0.9), round_hour=0.1, late=0.3)
    many = many_wards(RNG(8), wards=50, plant=plant)
    value, delay = many.readings.value, many.readings.charted.delay  # type: ignore[union-attr]
    assert (value[many.spiked] == 36.0).all() and (value[many.edged] == 37.9).all()
    assert (value[many.copied] == value[many.stay_before[many.copied]]).all()
    assert (value[many.batched] == value[many.round_before[many.batched]]).all()
    own = ~(many.spiked | many.copied | many.batched | many.edged)
    assert np.abs(value - many.measured)[own].max() <= 0.05 + 1e-9
    assert (many.readings.time[many.on_hour] % 1 == 0).all()
    keyed = (many.readings.time + delay)[many.late & ~many.on_hour] % 12
    assert (keyed > 6.9).all() and (keyed < 7.6).all()


def test_a_spike_in_a_fahrenheit_chart_is_the_converted_number() -> None:
    many = many_wards(RNG(9), wards=5, charting="F", plant=Plant(spike=(36.0, 0.5), unit_slips=0.1))
    charted = many.readings.charted
    assert charted is not None
    assert set(charted.value[many.spiked & ~many.slipped]) == {96.8}
    assert set(charted.value[many.spiked & many.slipped]) == {36.0}
    assert np.array_equal(~charted.fahrenheit, many.slipped)
    assert set(np.round(many.readings.value[many.spiked], 6)) == {36.0}


def test_origins_follow_copies_of_copies_to_the_number_measured() -> None:
    rng = RNG(10)
    before = np.array([rng.integers(0, k + 1) for k in range(500)])
    slow = []
    for k in range(500):
        while before[k] != k:
            k = int(before[k])
        slow.append(k)
    assert origins(before).tolist() == slow


def test_converting_there_and_back_is_by_tenths() -> None:
    f = converted(np.array([370, 369]), np.array([False, False]), np.array([True, True]))
    assert f.tolist() == [986, 984]


@pytest.mark.parametrize("wrong", [{"copies": 1.1}, {"spike": (36.0, 0.6), "batches": 0.6}, {"late": -0.1}])
def test_shares_that_are_none_are_refused(wrong: dict) -> None:  # type: ignore[type-arg]
    with pytest.raises(ValueError, match="shares lie in 0 to 1"):
        Plant(**wrong)


def test_a_thousand_wards_take_under_three_seconds() -> None:
    """The figure asked for; CPU seconds, so that a busy machine does not fail it."""
    begin = time.process_time()
    many_wards(RNG(11))
    assert time.process_time() - begin < 3.0
