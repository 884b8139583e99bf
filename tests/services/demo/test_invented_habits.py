"""The demonstration's second table: habits planted on wards against what the audit found."""

import invented_wards as told
from browline.services.demo.habits import planted_habits, unplanted
from browline.services.review.wards import wards

TRUTH = {
    "wards": {
        "spike": {"ward": "Larch", "value_c": 36.0, "share": 0.113, "until": "2026-04-02 08:00"},
        "site_left_out": {"ward": "Rowan"},
        "copies": {"ward": "Maple"},
        "edge": {"ward": "Holly", "line_c": 38.0, "share": 0.8},
        "keyed_late": {"ward": "Elm", "share_of_shifts": 0.3},
    },
    "rows_of": {"copied": [1, 2, 3]},
}


def test_each_planted_habit_is_found_missed_or_untold():
    rows = {h.ward: h for h in planted_habits(TRUTH, wards(told.a_review()))}
    assert rows["Larch"].seen and rows["Larch"].found == "36.0 °C: 8.0 % (6.4 % to 9.6 %)"
    assert rows["Larch"].planted == "36.0 °C: 11.3 % until 2026-04-02"
    assert rows["Rowan"].seen
    assert rows["Maple"].found == "missed" and not rows["Maple"].seen
    assert rows["Holly"].found == "too few to tell"
    assert rows["Elm"].found == "missed: no readings"


def test_what_was_seen_with_nothing_planted_is_told():
    review = told.a_review(told.larch(), told.a_ward("Maple", told.spike("Maple"), of=told.FELL))
    assert unplanted(TRUTH, wards(review)) == ("Maple: one value charted far too often",)


def test_values_heaped_under_the_line_belong_to_the_line():
    heaped = told.a_ward("Holly", told.edge("Holly"), told.spike("Holly", at="37.9 °C"), of=told.FELL)
    assert unplanted(TRUTH, wards(told.a_review(heaped))) == ()
