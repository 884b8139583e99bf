"""What a roll-out could show: the book's own figures where the review has them, assumptions where not."""

import pytest

from browline.errors import NotUnderstood
from browline.services.training.rollout import CHOICES, RolloutOptions, detectable, first_options

USUAL = {name: value for name, (_, _, value, _, _) in CHOICES.items()}
REVIEWED = {
    "readings": {"used": 120_000, "stays": 8000, "wards": 14, "from": "2026-01-01T00:00", "until": "2026-11-01T00:00"},
    "sites": [{"site": "oral", "n": 60_000}, {"site": "temporal", "n": 56_000}],
    "spread": {"patient_sd_c": 0.31, "course_sd_c": 0.42, "course_hours": None, "reading_sd_c": 0.27,
               "person_sd_c": 0.0},
}  # fmt: skip


def test_without_a_review_everything_is_an_assumption(book):
    asked = first_options()
    assert asked.of_the_book == () and asked == RolloutOptions(**USUAL)


def test_the_last_review_says_what_it_can(book):
    from browline.store.models import Review

    Review.objects.create(result=REVIEWED, version="0")
    asked = first_options()
    assert (asked.wards, asked.patient_c, asked.course_c, asked.reading_c) == (14, 0.31, 0.42, 0.27)
    assert asked.per_stay == 15 and asked.readings == pytest.approx(56_000 / 14 / (304 / 30.44), abs=1)
    assert asked.course_hours == USUAL["course_hours"] and "course_hours" not in asked.of_the_book
    assert "person_c" not in asked.of_the_book  # a spread the review could not see is not one of nought


def test_more_readings_show_more_up_to_what_months_allow(book):
    few, many, endless = (
        float(detectable(RolloutOptions(**{**USUAL, "readings": n})).rows[0].seen_80.split()[0])
        for n in (30, 600, 100_000)
    )
    assert few > 1.3 * many and 0.02 < endless <= many


def test_sizes_are_in_both_units_the_chosen_one_first(book):
    told = detectable(RolloutOptions(**USUAL), "F")
    assert "°F (0." in told.rows[0].seen_80 and "°F (0." in told.sentences[0]
    assert told.rows[2].seen_80 is None and told.rows[2].starting == "all 8 in month 4"
    assert 0 < told.effective < USUAL["readings"]


def test_numbers_out_of_range_are_refused_in_words():
    with pytest.raises(NotUnderstood, match="From 2 to 200"):
        RolloutOptions(**{**USUAL, "wards": 1})
    with pytest.raises(NotUnderstood, match="leave no time to teach"):
        RolloutOptions(**{**USUAL, "before": 11})
