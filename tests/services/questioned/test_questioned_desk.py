"""From what was typed to a question: values, units, sites, contraindications, lines; nothing is guessed or kept."""

import doctest
from datetime import date

import pytest

from browline.errors import InputRefused, Refusal
from browline.questioned.problem import ANSWERS, Costs, Problem
from browline.services.book import change_preference
from browline.services.questioned import contraindications, parse
from browline.services.questioned.case import CASE
from browline.services.questioned.desk import (
    NOT_THE_BEDSIDE,
    Answer,
    Refused,
    answer,
    asked,
    desk_of_book,
    desk_without_book,
    replay,
)
from browline.services.questioned.document import recheck_document
from browline.site_choice import ESCALATE

FOREHEAD = {"value": "38.4", "unit": "C", "site": "temporal", "minutes_ago": 5, "instrument": "FS-07"}
RECTAL = {"value": "38.5", "site": "rectal", "minutes_ago": 0}


def question(**case):
    """The question as the room gets it from a case, at a desk without a book."""
    return asked({"readings": [FOREHEAD], **case}, desk_without_book())


def problem(**case):
    return question(**case)[0]


def test_one_reading_is_all_that_is_needed():
    made = problem()
    assert (made.fever_c, made.low_c, made.age, made.another) == (38.0, 35.0, "adult", True)
    (reading,) = made.readings
    assert (reading.value_c, reading.site, reading.instrument) == (38.4, "temporal", "FS-07")


def test_a_whole_case_reaches_the_room():
    made = problem(
        readings=[FOREHEAD, {**RECTAL, "prepared": True}],
        answers={"damp": "yes", "worsening": "no"},
        age="65-up", core_probe="bladder", another=False, fever_c=37.8, low_c="34,5",
        costs={"missed_fever": 20},
    )  # fmt: skip
    assert made.readings[1].prepared and made.answers == {"damp": "yes", "worsening": "no"}
    assert (made.age, made.core_probe, made.another) == ("65-up", "bladder", False)
    assert (made.fever_c, made.low_c, made.costs) == (37.8, 34.5, Costs(missed_fever=20.0))


@pytest.mark.parametrize(
    ("text", "unit", "celsius"),
    [
        ("38.5", "", 38.5), ("38,5", "C", 38.5), ("101.3", "F", 38.5), ("101.3", "", 38.5), ("101.3 F", "", 38.5),
        ("385", "", 38.5), ("101.3", "C", 38.5),
    ],
)  # fmt: skip
def test_a_value_is_read_in_either_unit(text, unit, celsius):
    """101.3 °F is 38.5 °C: definition of the scales."""
    assert parse.value_typed(text, unit)[0] == pytest.approx(celsius)


def test_what_was_taken_otherwise_than_written_is_said():
    notes = question(readings=[FOREHEAD, {**RECTAL, "value": "101.3", "unit": "C"}])[3]
    assert notes == (
        "Reading 2, 101.3: The number can only be in the other unit, so the unit was put right.",
    )
    assert question()[3] == parse.value_typed("101.3")[1] == ()


@pytest.mark.parametrize("text", ["60", "LO", "", "38 39", "24.9", "37.5 K"])
def test_a_value_that_cannot_be_told_is_refused_with_its_reason(text):
    with pytest.raises(InputRefused, match=r"Reading 1: "):
        problem(readings=[{**FOREHEAD, "value": text}])
    with pytest.raises(InputRefused, match="45 to 77"):
        parse.value_typed("60")


@pytest.mark.parametrize("word", ["temporal", "Forehead", "TA"])
def test_a_site_is_told_by_its_name_or_a_word_of_the_charts(word):
    assert problem(readings=[{**FOREHEAD, "site": word}]).readings[0].site == "temporal"


@pytest.mark.parametrize(
    "wrong",
    [
        {"readings": []}, {"readings": "38"}, {"readings": [{"value": 38}]}, {"readings": [3]},
        {"readings": [{**FOREHEAD, "site": "T"}]}, {"readings": [{**FOREHEAD, "valeu": 3}]},
        {"readings": [{**FOREHEAD, "minutes_ago": "soon"}]}, {"readings": [{**FOREHEAD, "minutes_ago": -1}]},
        {"readings": [{**FOREHEAD, "minutes_ago": True}]}, {"readings": [{**FOREHEAD, "prepared": "no"}]},
        {"readings": [{**FOREHEAD, "unit": "K"}]}, {"readings": [FOREHEAD] * 41},
        {"answers": {"dmap": "yes"}}, {"answers": {"damp": "maybe"}}, {"answers": {"damp": ["yes"]}},
        {"answers": []}, {"age": "old"}, {"age": ["adult"]}, {"care": "theatre"}, {"flags": ["tall"]},
        {"flags": "neutropenia"}, {"core_probe": "skin"}, {"another": "yes"}, {"fever_c": 40}, {"low_c": "x"},
        {"costs": {"missed_fever": 0}}, {"costs": {"blame": 1}}, {"name": "somebody"},
    ],
)  # fmt: skip
def test_what_is_not_understood_is_refused_in_words(wrong):
    with pytest.raises(InputRefused) as told:
        problem(**wrong)
    assert told.value.came and told.value.wanted and told.value.do


def test_a_case_that_is_no_object_is_refused():
    for case in (None, 3, "38.4", []):
        with pytest.raises(Refusal):
            asked(case, desk_without_book())


def test_a_case_speaks_of_nobody():
    """No field takes free text but the name of an instrument."""
    assert not {"name", "patient", "note", "time", "person"} & set(CASE)


def test_contraindications_bar_a_site_with_the_reason_of_the_rule():
    made = problem(flags=["neutropenia", "no-oral"])
    assert made.contraindications == {
        "rectal": "Never rectal in neutropenia. A small tear can let bacteria into the blood.",
        "oral": "Not oral: the probe cannot be kept in the closed mouth. Air cools the probe, or it is bitten.",
    }
    assert set(problem(flags=["head-out-of-reach"]).contraindications) == {
        "temporal",
        "behind-ear",
        "tympanic",
        "oral",
    }
    assert set(problem(flags=["bandaged"]).contraindications) == {"temporal"}


def test_a_damp_forehead_is_dried_and_not_barred():
    assert problem(answers={"damp": "yes"}).contraindications == {}


@pytest.mark.parametrize(
    ("age", "of_course", "sites"),
    [
        ("under-4-weeks", "under-3-months", {"oral", "rectal", "tympanic"}),
        ("4-weeks-3-months", "under-3-months", {"oral", "rectal"}),
        ("3-12-months", "3-12-months", {"oral", "rectal"}),
        ("1-4-years", "1-17-years", {"oral", "rectal"}),
        ("5-17-years", "1-17-years", set()),
        ("adult", "adult", set()),
    ],
)
def test_one_age_serves_the_room_and_the_rules(age, of_course, sites):
    """NICE NG143: under 4 weeks the armpit; under 5 years mouth and rectum not routinely."""
    made = problem(age=age)
    assert (made.age, set(made.contraindications)) == (of_course, sites)


def test_emergencies_of_the_rules_come_with_the_question():
    assert question()[2] == ()
    assert "Fever in neutropenia is an emergency" in question(flags=["neutropenia"])[2][0].says
    assert "38.0 °C (100.4 °F)" in question(age="4-weeks-3-months")[2][0].says
    assert "Looks ill" in question(answers={"worsening": "yes"})[2][0].says


def test_every_flag_and_every_question_is_known_to_its_room():
    for word in contraindications.FLAGS:
        assert problem(flags=[word])
    assert problem(answers=dict.fromkeys(ANSWERS, "unknown")).answer("damp") == "unknown"


def test_intensive_care_has_its_own_forehead():
    made, in_use, *_ = question(care="intensive")
    assert made.priors.sites["temporal"].slope == 0.54 and made.priors == in_use.priors


def test_the_book_gives_lines_rules_and_the_names_of_its_register(book):
    from browline.store.models import Event, Instrument

    change_preference.set_choice("fever_c", 37.8, "ines")
    change_preference.set_choice("low_c", 35.5, "ines")
    Instrument.objects.create(name="FS-07")
    before = Event.objects.count()
    desk = desk_of_book(date(2026, 3, 7))
    made, _, said, *_ = asked(
        {"readings": [{**FOREHEAD, "instrument": "fs-07"}], "flags": ["neutropenia"]}, desk
    )
    assert (made.fever_c, made.low_c) == (37.8, 35.5)
    assert made.readings[0].instrument == "FS-07" and "rectal" in made.contraindications and said
    assert isinstance(made, Problem) and Event.objects.count() == before


def test_rules_of_the_book_are_the_rules_heeded(book):
    from browline.services.materials import documents
    from browline.store.models import ControlledDocument

    body = documents.latest("site-and-cover").body
    rows = [row for row in body["rows"] if row["id"] not in ("neutropenia-not", "bandaged-not")]
    ControlledDocument.objects.create(
        kind="site-and-cover", version=1, body={**body, "rows": rows}, actor="ines"
    )
    desk = desk_of_book(date(2026, 3, 7))
    assert asked({"readings": [FOREHEAD], "flags": ["bandaged"]}, desk)[0].contraindications == {}
    # What no set of rules is without is heeded although this one took it out.
    assert "rectal" in asked({"readings": [FOREHEAD], "flags": ["neutropenia"]}, desk)[0].contraindications


LAGGING = {
    "readings": [{"value": "98.4 F", "site": "oesophageal", "minutes_ago": 8}, RECTAL],
    "answers": {"cooled": "yes"},
}
DISAGREEING = {"readings": [FOREHEAD, {"value": "98.4 F", "site": "oral", "minutes_ago": 1}]}


def test_an_answer_speaks_in_both_units_and_says_where_its_figures_come_from():
    told = answer(DISAGREEING, desk_without_book())
    assert told.escalate == ESCALATE and "38.4 °C (101.1 °F)" in told.told.act_on
    words = str(told.told)
    assert "{" not in words.replace("{'", "") and "0.5 °C (0.9 °F)" in words
    assert [s.name for s in told.sources] == ["temporal", "oral", "", "temporal"]
    assert told.cautions[-1] == NOT_THE_BEDSIDE


def test_where_no_forehead_was_read_nothing_is_said_of_foreheads():
    told = answer({"readings": [RECTAL]}, desk_without_book())
    assert not any("forehead" in s.says for s in told.sources) and "Forehead" not in " ".join(told.cautions)


def test_the_books_figures_move_the_answer_and_are_named(book):
    """An instrument known to read 1.5 °C high is believed less: the chance of a fever sinks."""
    from browline.store.models import Review

    case = {"readings": [{**FOREHEAD, "value": "38.9"}]}
    before = answer(case, desk_of_book(date(2026, 3, 7)))
    row = {
        "instrument": "FS-07",
        "n": 900,
        "comparator": "the others",
        "offset_c": 1.5,
        "low_c": 1.3,
        "high_c": 1.7,
    }
    Review.objects.create(result={"instruments": [row]})
    after = answer(case, desk_of_book(date(2026, 3, 7)))
    assert after.result.now.fever < 0.7 * before.result.now.fever
    assert "FS-07 against the others: +1.50 °C, from this book" in after.sources[0].says


def test_many_cases_are_answered_in_order_and_a_bad_one_stops_no_other():
    bad = {"readings": [{**FOREHEAD, "value": "60", "unit": ""}]}
    told = list(replay([LAGGING, bad, None, {"readings": [RECTAL]}], desk_without_book()))
    assert [type(one) for one in told] == [Answer, Refused, Refused, Answer]
    assert [one.number for one in told[1:3]] == [2, 3] and "45 to 77" in str(told[1].why)
    assert recheck_document(told).cases[1].refused.startswith("Reading 1: The value is '60'.")


def test_a_fault_of_the_room_is_not_taken_for_a_bad_case(monkeypatch):
    monkeypatch.setattr("browline.questioned.inference.solve", lambda _: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        list(replay([LAGGING], desk_without_book()))


def test_the_unit_chosen_for_the_book_stands_first(book):

    change_preference.set_choice("show_unit", "F", "ines")
    told = answer(LAGGING, desk_of_book(date(2026, 3, 7)))
    assert "101.3 °F (38.5 °C)" in told.told.act_on


def test_the_examples_of_the_docstrings_run():
    assert doctest.testmod(parse).failed == 0 < doctest.testmod(parse).attempted
