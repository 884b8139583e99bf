"""What practitioners hold to be so; common practice, no source. Outcomes and stories, not numbers."""

from browline.questioned import Outcome, Problem, Reading, solve

COOLED = Problem((Reading(36.9, "oesophageal", 6), Reading(38.5, "rectal", 2)), {"cooled": "yes"})
FOREHEADS = (Reading(36.3, "temporal", 12, "A"), Reading(36.4, "temporal", 6, "B"))
MOUTH = Reading(38.3, "oral", 2)
EXCLUDED = {"damp": "no", "cold-in": "no", "hot-drink": "no", "other-mode": "no"}


def told_stories(result):
    return [story for story in result.stories if story.what != "agree"]


def test_while_a_patient_is_cooled_the_rectum_is_behind_the_oesophagus():
    """The core comes down and the rectum follows late; until it is settled the high one is acted on."""
    result = solve(COOLED)
    first = told_stories(result)[0]
    assert (first.what, first.site, first.readings) == ("lag", "rectal", (1,))
    assert (result.act_as, result.safer) == ("fever", 1)


def test_what_two_foreheads_share_stays_listed_against_a_mouth():
    result = solve(Problem((*FOREHEADS, MOUTH), EXCLUDED))
    shared = [story for story in result.stories if story.what == "site" and story.site == "temporal"]
    assert shared and shared[0].shared and shared[0].readings == (0, 1) and shared[0].chance > 0
    assert result.act_as == "fever" and result.safer == 2


def test_it_cannot_be_settled_and_the_steps_say_what_would():
    result = solve(COOLED)
    assert result.outcome is Outcome.NOT_SETTLED
    best = result.steps[0]
    assert best.drop > 0 and best.settles > 0.5
    assert best.fever_from_c is not None and best.no_fever_to_c is not None
    assert any(step.kind == "repeat-later" and step.wait_minutes == 60 for step in result.steps)


def test_with_damp_said_the_damp_is_asked_first():
    """Not excluded, something at the forehead that all its scans share leads, not the mouth."""
    result = solve(Problem((*FOREHEADS, MOUTH), {**EXCLUDED, "damp": "yes"}))
    first = told_stories(result)[0]
    assert (first.what, first.shared, first.readings) == ("damp", True, (0, 1))


def test_foreheads_that_agree_are_not_three_witnesses():
    """Three scans of one scanner bring the core hardly nearer to them than one does."""
    one = solve(Problem((FOREHEADS[0], MOUTH), EXCLUDED))
    same = tuple(Reading(36.3, "temporal", m, "A") for m in (14, 13, 12))
    three = solve(Problem((*same, MOUTH), EXCLUDED))
    assert three.now.mean_c > 38.3 - 0.75 * (38.3 - 36.3)
    assert three.left_out < 0.05 and one.now.mean_c > three.now.mean_c


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
