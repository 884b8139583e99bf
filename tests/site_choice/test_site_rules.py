"""The rules as a document: every row on somebody's word, none that leaves a patient without an answer."""

import doctest
import re

import pytest

from browline.controlled import checked
from browline.errors import NotUnderstood
from browline.quantities.both_units import both_units
from browline.site_choice import LAYOUT, Outcome, Patient, card, check, default, rules_of, solve
from browline.site_choice.limits import ADDED, LIMITS

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
        # One cover where a probe touches what it can carry away, and one for everywhere else.
        assert sorted(kinds) == ["cleaning-case", "cleaning-lens", "cover", "cover"]


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


# What stood where the limits stand before there were any: own words, the sites and flags of the set that came first.
NECK = {
    **BODY["rows"][0], "id": "neck", "kind": "site", "when": ["forehead-injury"], "sites": ["behind-ear"],
    "says": "Behind the ear.", "priority": 59.0,
}  # fmt: skip


def _older(*more):
    return {**BODY, "rows": [*_without(*(limit["id"] for limit in LIMITS))["rows"], *more]}


@pytest.mark.parametrize(
    "ticks, isolation, site, cover",
    [
        ({"forehead-injury"}, "none", "oral", "A new probe cover"),
        ({"forehead-injury", "no-oral", "damp"}, "none", "rectal", "A new probe cover"),
        ({"bandaged"}, "contact", "oral", "A new probe cover for each reading"),
        (
            {"fever-question"},
            "spore-forming",
            "oral",
            "A dedicated instrument that stays with this patient, and",
        ),
        ({"neutropenia", "no-oral", "unstable"}, "none", "temporal", "None: the probe is wiped"),
    ],
)
def test_a_set_of_rules_from_before_the_limits_is_read_with_them(ticks, isolation, site, cover):
    rules = rules_of(_older(NECK))
    choice = solve(Patient("5-years-up", isolation, frozenset(ticks)), rules)
    assert choice.site.sites == (site,) and choice.cover.says.startswith(cover)
    assert "behind-ear" not in [rule.sites[0] for rule in choice.fallbacks]
    said = [rule.says for rule in choice.emergencies]
    assert any("defined by mouth" in one for one in said) == ("neutropenia" in ticks)
    added = {line.rule.id for part in card(rules) for line in part.lines if ADDED in line.rule.source}
    assert added == {limit["id"] for limit in LIMITS}


def test_a_set_that_keeps_the_limits_in_its_own_rows_is_read_as_it_stands():
    assert len(RULES) == len(BODY["rows"])
    wider = {
        **BODY["rows"][0],
        "id": "ours",
        "kind": "ruled-out",
        "when": [],
        "sites": ["behind-ear", "rectal"],
    }
    added = {rule.id for rule in rules_of(_older(wider))}
    assert not added & {"hurt-not-neck", "neutropenia-not"} and "bandaged-oral" in added


def test_no_limit_holds_a_temperature_as_a_mark():
    """They are added to texts whose marks are already written out."""
    assert not [limit["id"] for limit in LIMITS if "{" in str(list(map(str, limit.values())))]


def test_a_bar_that_an_edit_narrows_is_added_again_and_one_renamed_is_not():
    rows = [{**row, "when": ["damp"]} if row["id"] == "neutropenia-not" else row for row in BODY["rows"]]
    neutropenic = Patient("5-years-up", ticks=frozenset({"neutropenia", "no-oral"}))
    assert "rectal" not in [rule.sites[0] for rule in solve(neutropenic, rules_of({"rows": rows})).fallbacks]
    renamed = [{**row, "id": "x"} if row["id"] == "neutropenia-not" else row for row in BODY["rows"]]
    assert len(rules_of({"rows": renamed})) == len(BODY["rows"])


def test_a_rule_that_comes_second_does_not_stand_for_a_limit():
    """A probe cover for everybody, below a cover for isolation at every site, is no probe cover in isolation."""
    later = [
        {**row, "id": "x", "priority": 1.0} if row["id"] == "isolation-probe" else row for row in BODY["rows"]
    ]
    apart = solve(Patient("5-years-up", "contact", frozenset({"bandaged"})), rules_of({"rows": later}))
    assert apart.cover.id == "isolation-probe"


@pytest.mark.parametrize("name", ["neck-alone", "damp-ear-alone"])
def test_behind_the_ear_alone_says_for_whom_only_and_for_whom_never(name):
    (row,) = [one for one in BODY["rows"] if one["id"] == name]
    said = f"{row['says']} {row['why']}"
    missing = [
        part
        for part in (
            "sweats",
            "mouth cannot be used",
            "never",
            "injury, burn or surgery",
            "head, face or neck",
        )
        if part not in said.lower()
    ]
    assert not missing and row["published"].startswith("No published figure")
