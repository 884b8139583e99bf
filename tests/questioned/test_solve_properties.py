"""What must hold of any answer, whatever the readings; examples are drawn by Hypothesis."""

from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from browline.questioned import Problem, Reading, published, solve

FEW = settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
SITES = ("temporal", "oral", "tympanic", "axillary")
ALIKE = 1e-7

readings = st.lists(
    st.tuples(
        st.floats(34.0, 41.0).map(lambda v: round(v, 1)),
        st.sampled_from(SITES),
        st.integers(0, 180),
        st.sampled_from(("", "A")),
    ),
    min_size=1,
    max_size=2,
    unique_by=lambda told: told[2],
).map(lambda told: tuple(Reading(*each) for each in told))
answers = st.dictionaries(
    st.sampled_from(("damp", "cold-drink", "worsening", "dirty-lens")),
    st.sampled_from(("yes", "no", "unknown")),
)


@FEW
@given(readings, answers)
def test_chances_are_chances_and_bands_are_bands(told, said):
    result = solve(Problem(told, said))
    for core in (result.now, *(m.core for m in result.misled)):
        assert core.low_c < core.mean_c < core.high_c
        assert 0 <= core.fever <= 1 and 0 <= core.low <= 1 and core.fever + core.low <= 1
    for misled in result.misled:
        assert -ALIKE <= misled.chance <= 1 + ALIKE
        assert sum(misled.causes.values()) == pytest.approx(misled.chance, abs=ALIKE)
        assert list(misled.causes.values()) == sorted(misled.causes.values(), reverse=True)
    assert sum(story.chance for story in result.stories) <= 1 + ALIKE
    assert result.safer in (None, *range(len(told)))


@FEW
@given(readings.filter(lambda told: len(told) > 1), answers)
def test_the_order_in_which_readings_are_told_changes_nothing(told, said):
    one, other = solve(Problem(told, said)), solve(Problem(told[::-1], said))
    assert one.now.mean_c == pytest.approx(other.now.mean_c, abs=ALIKE)
    assert [m.chance for m in one.misled] == pytest.approx([m.chance for m in other.misled[::-1]], abs=ALIKE)


@FEW
@given(readings)
def test_unknown_is_the_same_as_not_answered(told):
    unknown = dict.fromkeys(("damp", "covered", "other-mode", "warmed"), "unknown")
    assert solve(Problem(told, unknown)).now == solve(Problem(told)).now


@FEW
@given(readings)
def test_what_concerns_no_site_read_changes_nothing(told):
    told = tuple(replace(r, site="axillary") for r in told)
    said = {"damp": "yes", "cold-drink": "yes", "dirty-lens": "yes", "other-mode": "no"}
    assert solve(Problem(told, said)).now.mean_c == pytest.approx(solve(Problem(told)).now.mean_c, abs=ALIKE)


@FEW
@given(readings)
def test_the_name_of_an_instrument_means_nothing(told):
    renamed = tuple(replace(r, instrument="Z" if r.instrument else "") for r in told)
    assert solve(Problem(told)).now.mean_c == pytest.approx(solve(Problem(renamed)).now.mean_c, abs=ALIKE)


@FEW
@given(readings, st.floats(0.1, 1.0))
def test_a_higher_fever_line_is_less_likely_reached(told, more):
    assert solve(Problem(told, fever_c=38.0 + more)).now.fever <= solve(Problem(told)).now.fever + ALIKE


@FEW
@given(readings, st.floats(-0.5, 0.5))
def test_everything_shifted_by_a_constant_is_shifted_by_it(told, shift):
    """Only sites whose slope is 1: readings, levels and lines moved by the same °C."""
    told = tuple(replace(r, site="oral") for r in told)
    priors = published()
    levels = tuple(replace(level, mean_c=level.mean_c + shift) for level in priors.course.levels)
    moved = replace(priors, course=replace(priors.course, levels=levels))
    one = solve(Problem(told))
    other = solve(
        Problem(
            tuple(replace(r, value_c=r.value_c + shift) for r in told),
            fever_c=38.0 + shift,
            low_c=35.0 + shift,
            priors=moved,
        )
    )
    assert other.now.mean_c - one.now.mean_c == pytest.approx(shift, abs=ALIKE)
    assert other.now.fever == pytest.approx(one.now.fever, abs=ALIKE)


def test_an_instrument_the_book_knows_is_corrected_for_its_offset():
    """Known to read 0.4 °C low and nothing else uncertain about it, it moves the answer up."""
    from browline.questioned.priors import Named

    told = (Reading(37.2, "temporal", 1, "A"),)
    low = replace(published(), instruments=MappingProxyType({"A": Named(-0.4, 0.03)}))
    assert solve(Problem(told, priors=low)).now.mean_c > solve(Problem(told)).now.mean_c + 0.2
