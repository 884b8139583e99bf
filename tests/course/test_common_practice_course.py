"""What practitioners hold to be so; common practice, no source. Outcomes and stories, not numbers."""

from browline.course import Outcome, Problem, Reading, solve

HOT = tuple(
    Reading(v, "temporal", m, name) for v, m, name in ((40.0, 25, "A"), (40.1, 20, "B"), (39.9, 15, "C"))
)
RECTAL = Reading(37.7, "rectal", 10)
EXCLUDED = {"covered": "no", "heat": "no", "other-mode": "no", "damp": "no", "cold-in": "no"}


def told_stories(result):
    return [story for story in result.stories if story.what != "agree"]


def test_foreheads_agree_at_40_and_the_rectum_reads_37_7():
    """Worsening; cover, heater and other mode excluded: the rectum lags, and what foreheads share stays listed."""
    result = solve(Problem((*HOT, RECTAL), {**EXCLUDED, "worsening": "yes"}))
    first = told_stories(result)[0]
    assert (first.what, first.site, first.readings) == ("lag", "rectal", (3,))
    shared = [story for story in result.stories if story.what == "site" and story.site == "temporal"]
    assert shared and shared[0].shared and shared[0].readings == (0, 1, 2) and shared[0].chance > 0
    assert result.act_as == "fever" and result.safer in (0, 1, 2)


def test_it_cannot_be_settled_and_the_steps_say_what_would():
    result = solve(Problem((*HOT, RECTAL), {**EXCLUDED, "worsening": "yes"}))
    assert result.outcome is Outcome.NOT_SETTLED
    best = result.steps[0]
    assert best.drop > 0 and best.settles > 0.5
    assert best.fever_from_c is not None and best.no_fever_to_c is not None
    assert any(step.kind == "repeat-later" and step.wait_minutes == 60 for step in result.steps)


def test_with_a_heater_about_the_heater_is_asked_first():
    """Not excluded, something at the forehead that all its scans share leads, not the lag."""
    result = solve(Problem((*HOT, RECTAL), {**EXCLUDED, "worsening": "yes", "heat": "yes"}))
    first = told_stories(result)[0]
    assert (first.what, first.shared, first.readings) == ("heat", True, (0, 1, 2))


def test_foreheads_that_agree_are_not_three_witnesses():
    """Three scans of one scanner bring the core hardly nearer to them than one does."""
    one = solve(Problem((HOT[0], RECTAL), EXCLUDED))
    same = tuple(Reading(40.0, "temporal", m, "A") for m in (25, 24, 23))
    three = solve(Problem((*same, RECTAL), EXCLUDED))
    assert three.now.mean_c < 37.7 + 0.75 * (40.0 - 37.7)
    assert three.left_out < 0.05 and one.now.mean_c < three.now.mean_c


def test_one_low_scan_of_a_damp_forehead():
    result = solve(Problem((Reading(35.2, "temporal", 5, "A"),), {"damp": "yes"}))
    assert told_stories(result)[0].what == "damp"
    assert result.misled[0].chance > 0.5 and result.now.mean_c > 35.6
    assert result.outcome is Outcome.NOT_SETTLED and result.steps[0].settles > 0.5


def test_one_high_scan_of_one_scanner():
    """With a normal mouth minutes later: not believed, and not dismissed."""
    result = solve(
        Problem((Reading(39.8, "temporal", 5, "A"), Reading(37.2, "oral", 1)), {"cold-drink": "no"})
    )
    assert result.misled[0].chance > 0.8
    assert told_stories(result)[0].readings == (0,)
    assert result.safer == 0


def test_a_cold_drink_explains_a_mouth_below_a_forehead():
    told = (Reading(38.6, "temporal", 6, "A"), Reading(37.0, "oral", 2))
    asked = {"covered": "no", "heat": "no"}
    drunk, not_drunk = (solve(Problem(told, {**asked, "cold-drink": said})) for said in ("yes", "no"))
    assert told_stories(drunk)[0].what == "cold-drink"
    assert drunk.now.fever > not_drunk.now.fever + 0.2


def test_a_scanner_s_dirty_lens_is_not_cured_by_repeating():
    """Three low scans of one scanner and one of a second: what is wrong is the first's, in all its readings."""
    low = tuple(Reading(36.3, "temporal", m, "A") for m in (9, 8, 7))
    told = (*low, Reading(38.4, "temporal", 5, "B"), Reading(38.5, "tympanic", 3))
    result = solve(Problem(told, {"dirty-lens": "yes", "damp": "no", "covered": "no"}))
    first = told_stories(result)[0]
    assert (first.what, first.instrument, first.readings, first.shared) == (
        "dirty-lens",
        "A",
        (0, 1, 2),
        True,
    )
