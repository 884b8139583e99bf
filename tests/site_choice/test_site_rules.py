"""The rules as a document: every row on somebody's word, none that leaves a patient without an answer."""

import doctest
import re

import pytest

from browline.controlled import checked
from browline.errors import NotUnderstood
from browline.quantities.both_units import both_units
from browline.site_choice import LAYOUT, Outcome, Patient, card, check, default, rules_of, solve

BODY = checked(LAYOUT, default())
RULES = rules_of(BODY)
ADULT = Patient("5-years-up")


def test_the_examples_in_the_text_run():
    from browline.site_choice import problem

    assert doctest.testmod(problem).failed == 0 < doctest.testmod(problem).attempted


def _without(*ids):
    return {**BODY, "rows": [row for row in BODY["rows"] if row["id"] not in ids]}


def test_every_rule_names_its_source_its_reason_and_what_is_published():
    for row in BODY["rows"]:
        assert row["source"] and row["why"] and row["published"], row["id"]


def test_every_rule_is_reached_by_somebody():
    """No dead rows: each rule is used for some patient with at most four ticks."""
    from itertools import combinations, product

    from browline.site_choice import AGES, ISOLATIONS, TICKS

    used = set()
    for age, isolation, n in product(AGES, ISOLATIONS, range(5)):
        for ticks in combinations(TICKS, n):
            used |= {rule.id for rule in solve(Patient(age, isolation, frozenset(ticks)), RULES).rules}
    # The last two say what holds should the others be edited away.
    assert {row["id"] for row in BODY["rows"]} - used <= {"chest", "last", "any-cover", "then-ask"}


def test_lens_and_case_have_rows_of_their_own_for_each_kind_of_organism():
    for organism in ("spore-forming", "multi-resistant"):
        kinds = [row["kind"] for row in BODY["rows"] if row["when"] == [organism]]
        assert sorted(kinds) == ["cleaning-case", "cleaning-lens", "cover"]


def test_nothing_reads_as_leave_not_to_escalate():
    leave = re.compile(r"no need to|need not|safe to|reassur|do not escalate|without escalat|can wait", re.I)
    for row in BODY["rows"]:
        assert not leave.search(" ".join(map(str, row.values()))), row["id"]


def test_the_rules_that_come_with_the_program_leave_nobody_out():
    check(BODY)


@pytest.mark.parametrize(
    "ids, missing",
    [
        (("last", "groin", "chest"), "site"),
        (("any-cover",), "cover"),
        (("lens",), "lens"),
        (("case",), "case"),
    ],
)
def test_rules_that_could_leave_somebody_out_are_refused(ids, missing):
    with pytest.raises(NotUnderstood, match=missing):
        check(_without(*ids))


def test_where_an_edit_leaves_nothing_the_answer_says_so_and_still_escalates():
    none = solve(ADULT, rules_of({"rows": [row for row in BODY["rows"] if row["kind"] == "caution"]}))
    assert none.outcome is Outcome.NOTHING_LEFT and none.site is None
    assert "person in charge decides" in none.outcome and "escalate now" in none.escalate


def test_an_edited_rule_changes_screen_and_card_alike():
    rows = [
        {**row, "says": "Scan as our ward does."} if row["id"] == "forehead" else row for row in BODY["rows"]
    ]
    rules = rules_of({"rows": rows})
    assert solve(ADULT, rules).site.says == "Scan as our ward does."
    assert "Scan as our ward does." in [line.says for part in card(rules) for line in part.lines]


def test_the_higher_priority_is_taken_whatever_the_order_of_rows():
    turned = rules_of({"rows": BODY["rows"][::-1]})
    for ticks in ({"damp"}, {"core-probe", "damp"}, {"neutropenia", "no-oral"}):
        patient = Patient("5-years-up", "spore-forming", frozenset(ticks))
        assert {r.id for r in solve(patient, turned).rules} == {r.id for r in solve(patient, RULES).rules}


@pytest.mark.parametrize(
    "given", [{"age": "old"}, {"age": "5-years-up", "isolation": "yes"}, {"ticks": {"tall"}}]
)
def test_words_that_are_not_known_are_refused(given):
    with pytest.raises(NotUnderstood, match="Known are"):
        Patient(**{"age": "5-years-up", **given})


@pytest.mark.parametrize(
    "row, figures",
    [
        # Each figure as published; sources beside it.
        ("forehead", ["−0.19 °C", "−1.16 °C", "0.77 °C", "72 of 100", "94 of 100"]),  # Geijer 2016, PMC4823400
        ("decides-treatment", ["0.66 °C", "−0.90 °C", "26 of 100", "38.3 °C (100.9 °F)"]),  # Stelfox 2010
        ("damp-not", ["0.39 °C", "0.22 °C"]),  # Low 2007, PubMed 17596768
        ("armpit-low", ["0.23 °C", "27 of 100", "0.5 °C (0.9 °F)"]),  # Lawson 2007, PubMed 17724246
        ("wait-drink", ["15 minutes", "23 minutes", "30 minutes"]),  # drinks: PubMed 11606822; older thesis
        ("wait-came-in", ["10 minutes", "150 children"]),  # acclimatisation study of 150 children
        ("spores-cover", ["20.8 of 100", "2.71", "1.76"]),  # PubMed 1541811
        ("resistant-cover", ["6.8", "2.96", "15.6"]),  # N Engl J Med 2018;379:1322
        ("then-oral", ["81 of 100", "37 of 100"]),  # Lawson 2007 (19 % beyond 0.5); Bijur 2016, EMJ 33:843
        ("rectal-lags", ["0.8 °C"]),  # Gagnon 2010, PMC2838467
        ("scan-cover", ["4.7 to 7.6 p", "0.8 p"]),  # NICE costing for CG47
    ],
)  # fmt: skip
def test_published_figures_stand_beside_the_rule(row, figures):
    (published,) = [both_units(one["published"]) for one in BODY["rows"] if one["id"] == row]
    for figure in figures:
        assert figure in published, figure
