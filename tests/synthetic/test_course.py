"""A patient's course against closed forms: the rhythm's published hours, the Ornstein–Uhlenbeck covariance."""

import numpy as np

from browline.synthetic.course import COURSE_HOURS, COURSE_SD, ornstein_uhlenbeck, rhythm, surge


def test_the_rhythm_is_lowest_at_06_and_highest_between_16_and_18_half_a_degree_apart() -> None:
    """Mackowiak, Wasserman & Levine 1992 (JAMA 268:1578): nadir 6 AM, zenith 4-6 PM, mean amplitude 0.5 °C."""
    hour = np.arange(0, 24, 0.01)
    r = rhythm(hour)
    assert abs(hour[r.argmin()] - 6.0) < 0.02
    assert 16.0 <= hour[r.argmax()] <= 18.0
    assert abs(np.ptp(r) - 0.5) < 0.001
    assert abs(r.mean()) < 1e-9


def test_the_course_has_the_covariance_of_an_ornstein_uhlenbeck_process() -> None:
    """Closed form: cov(z(t), z(t')) = sd^2 exp(-|t - t'| / tau). Three uneven times, 40,000 stays."""
    many, when = 40_000, np.array([5.0, 7.0, 31.0])
    first = np.arange(many) * 3
    z = ornstein_uhlenbeck(np.tile(when, many), first, np.full(many, 3), np.random.default_rng(1))
    expected = COURSE_SD**2 * np.exp(-np.abs(when[:, None] - when) / COURSE_HOURS)
    assert np.abs(np.cov(z.reshape(many, 3).T) - expected).max() < 4 * COURSE_SD**2 * np.sqrt(2 / many)


def test_every_stay_may_have_its_own_spread_and_pace() -> None:
    """Closed form as above, with two kinds of stays; 20,000 of each."""
    many, when = 20_000, np.array([0.0, 10.0])
    count, first = np.full(2 * many, 2), np.arange(2 * many) * 2
    sd, tau = np.repeat([0.2, 0.4], 2 * many), np.repeat([6.0, 30.0], 2 * many)
    z = ornstein_uhlenbeck(
        np.tile(when, 2 * many), first, count, np.random.default_rng(2), sd=sd, hours=tau
    ).reshape(2, many, 2)
    for kind, (s, t) in enumerate([(0.2, 6.0), (0.4, 30.0)]):
        expected = s**2 * np.array([[1, np.exp(-10 / t)], [np.exp(-10 / t), 1]])
        assert np.abs(np.cov(z[kind].T) - expected).max() < 4 * s**2 * np.sqrt(2 / many)


def test_the_course_walked_together_equals_the_course_walked_one_by_one() -> None:
    """The slow twin: the recursion point by point, stay by stay, from the same normal numbers."""
    count = np.array([1, 4, 2, 7, 1])
    first = np.cumsum(count) - count
    time = np.concatenate([np.sort(np.random.default_rng(k).uniform(0, 99, c)) for k, c in enumerate(count)])
    z = ornstein_uhlenbeck(time, first, count, np.random.default_rng(9))
    normal = np.random.default_rng(9).standard_normal(len(time))
    slow = np.empty(len(time))
    for begin, many in zip(first, count, strict=True):
        for i in range(begin, begin + many):
            f = 0.0 if i == begin else np.exp(-(time[i] - time[i - 1]) / COURSE_HOURS)
            slow[i] = (f * slow[i - 1] if i > begin else 0.0) + COURSE_SD * np.sqrt(1 - f * f) * normal[i]
    np.testing.assert_allclose(z, slow, rtol=0, atol=1e-12)


def test_a_fever_is_absent_before_its_onset_and_gone_after_days() -> None:
    since = np.array([-5.0, 0.0, 8.0, 24 * 14.0])
    t = surge(since, np.full(4, 2.0), np.full(4, 20.0))
    assert t[0] == t[1] == 0.0
    assert t[2] > 1.0
    assert t[3] < 0.001
