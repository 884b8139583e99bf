"""Patients as they are met, with the answer that the trade or published guidance gives; whose, stands beside."""

import pytest

from browline.controlled import checked
from browline.site_choice import LAYOUT, Patient, default, rules_of, solve

RULES = rules_of(checked(LAYOUT, default()))
CHILD, NEWBORN, INFANT = "3-months-5-years", "under-4-weeks", "4-weeks-3-months"


def answer(*ticks, age="5-years-up", isolation="none"):
    return solve(Patient(age, isolation, frozenset(ticks)), RULES)


def site(choice):
    return choice.site.sites[0]


def instead(choice):
    return choice.fallback.sites[0]


def all_instead(*ticks, **more):
    return [rule.sites[0] for rule in answer(*ticks, **more).fallbacks]


def test_where_the_forehead_is_chosen_every_other_route_is_named_in_order():
    assert all_instead() == ["oral", "rectal", "tympanic", "axillary", "local-policy"]
    assert all_instead("no-oral") == ["rectal", "tympanic", "axillary", "local-policy"]
    assert all_instead("neutropenia") == ["tympanic", "axillary", "local-policy"]
    assert all_instead(age=INFANT) == ["tympanic", "local-policy"]


# Common practice, no source, unless named.
SITES = [
    ((), "temporal", "oral"),
    (("covered",), "temporal", "oral"),
    (("damp",), "temporal-then-ear", "oral"),
    # Own judgement, no source: who can keep a probe in the mouth is read there before neck and groin.
    (("bandaged",), "oral", "rectal"),
    (("damp", "bandaged"), "oral", "rectal"),
    (("bandaged", "no-oral"), "femoral", "rectal"),
    (("damp", "bandaged", "no-oral"), "behind-ear", "rectal"),
    # Own judgement, no source: after a burn or surgery neither the scan nor the neck.
    (("forehead-injury",), "oral", "rectal"),
    (("forehead-injury", "damp", "bandaged"), "oral", "rectal"),
    (("forehead-injury", "damp", "no-oral"), "rectal", "tympanic"),
    (("forehead-injury", "no-oral", "no-rectal"), "axillary", "tympanic"),
    (("looks-ill", "damp"), "oral", "rectal"),
    (("head-out-of-reach",), "femoral", "rectal"),
    (("head-out-of-reach", "no-rectal"), "femoral", "axillary"),
    (("no-oral",), "temporal", "rectal"),
    (("no-oral", "no-rectal"), "temporal", "tympanic"),
    # Crit Care Med 2023;51:1570 (secondary source): core, then mouth or rectum, before the outside.
    (("core-probe", "damp"), "core", "oral"),
    (("fever-question",), "oral", "rectal"),
    (("fever-question", "no-oral"), "rectal", "tympanic"),
    (("unstable", "no-oral"), "rectal", "tympanic"),
    (("unstable", "no-oral", "no-rectal"), "temporal", "tympanic"),
    (("cold-or-shut-down",), "rectal", "oral"),
    (("cold-or-shut-down", "no-rectal"), "oral", "tympanic"),
    (("cold-or-shut-down", "no-oral", "no-rectal"), "tympanic", "axillary"),
    (("cold-or-shut-down", "neutropenia"), "oral", "tympanic"),
    (("cold-or-shut-down", "core-probe"), "core", "oral"),
    # Neutropenic fever is defined by mouth; no rectal reading (secondary source).
    (("neutropenia",), "oral", "tympanic"),
    (("neutropenia", "no-oral", "fever-question"), "temporal", "tympanic"),
]


@pytest.mark.parametrize("ticks, first, fallback", SITES)
def test_an_adult(ticks, first, fallback):
    choice = answer(*ticks)
    assert (site(choice), instead(choice)) == (first, fallback)


@pytest.mark.parametrize(
    "age, fallback", [(NEWBORN, "local-policy"), (INFANT, "tympanic"), (CHILD, "tympanic")]
)
def test_a_child_under_5_is_read_where_published_guidance_says(age, fallback):
    """NICE NG143: under 4 weeks armpit, electronic; 4 weeks to 5 years armpit, or infrared ear."""
    choice = answer("damp", age=age)
    assert (site(choice), instead(choice)) == ("axillary", fallback)
    assert "local policy" in choice.site.says and "local policy" in choice.fallback.says
    assert instead(answer("core-probe", age=age)) == "axillary"


@pytest.mark.parametrize(
    "ticks, isolation, cover",
    [
        ((), "none", "None: the probe is wiped between patients"),
        (("fever-question",), "none", "A new probe cover"),
        (("core-probe",), "none", "None: the probe stays in place"),
        (("core-probe",), "contact", "cable and monitor are dedicated"),
        (("fever-question",), "contact", "A new probe cover for each reading"),
        (("fever-question", "no-oral"), "contact", "A new probe cover for each reading"),
        (
            ("fever-question",),
            "multi-resistant",
            "A dedicated instrument that stays with this patient, and a new",
        ),
        (
            ("fever-question",),
            "spore-forming",
            "A dedicated instrument that stays with this patient, and a new",
        ),
        ((), "contact", "whole-instrument cover"),
        ((), "multi-resistant", "A dedicated instrument"),
        ((), "spore-forming", "A dedicated instrument"),
    ],
)
def test_the_cover(ticks, isolation, cover):
    """Taught, no source found: no cover without isolation; in isolation the whole instrument is covered."""
    assert cover in answer(*ticks, isolation=isolation).cover.says


def test_lens_and_case_of_most_patients_and_in_isolation():
    """Taught, no source found: the lens by its instructions; isolation asks more of the case alone."""
    most, apart = answer(), answer(isolation="contact")
    assert "as the instructions of this instrument say" in most.lens.says
    assert not [word for word in ("alcohol", "bleach", "quaternary", "14 days") if word in most.lens.says]
    assert "any disinfectant the hospital approves" in most.case.says
    assert apart.lens == most.lens and "the agent that infection prevention names for it" in apart.case.says


@pytest.mark.parametrize(
    "ticks, wait, says",
    [
        (("damp",), "wait-drenched", "10 minutes"),
        (("covered",), "wait-covered", "1 minute"),
        (("heat-in-path",), "wait-heat", "1 minute"),
        ((), "wait-repeat", "30 seconds"),
        # 150 children coming in from the cold; published.
        (("came-in",), "wait-came-in", "10 minutes"),
        # Drinks, PubMed 11606822; older thesis.
        (("drink",), "wait-drink", "15 to 30 minutes"),
    ],
)
def test_how_long_to_wait(ticks, wait, says):
    (one,) = [rule for rule in answer(*ticks).waits if rule.id == wait]
    assert says in one.says


@pytest.mark.parametrize(
    "ticks, caution",
    [
        (("bandaged", "no-oral"), "Only where the instructions of the instrument name this site"),
        (("bandaged", "no-oral"), "ask for consent"),
        (("bandaged", "no-oral", "damp"), "Behind the ear alone: only while the patient sweats"),
        (("no-oral", "no-rectal"), "Not a sore, hurt, burnt or blocked ear"),
        # Range from memory of ISO 80601-2-56: 34.0 to 42.0 °C.
        (("cold-or-shut-down",), "shows values under {34.0}"),
        (("covered",), "Scan the side that was up"),
        (("no-oral",), "In a fast change the rectum stays behind"),
        (("head-out-of-reach", "no-rectal"), "The armpit reads low"),
        (("damp",), ""),
    ],
)
def test_what_to_heed(ticks, caution):
    assert any(caution in rule.says for rule in answer(*ticks).cautions)


def test_damp_rules_out_the_forehead_alone_and_says_so():
    assert "Not the forehead alone: it is damp." in [rule.says for rule in answer("damp").ruled_out]


def test_should_every_other_site_be_edited_away_the_armpit_is_left():
    few = [rule for rule in RULES if rule.id not in ("groin", "chest")]
    assert site(solve(Patient("5-years-up", ticks=frozenset({"bandaged", "no-oral"})), few)) == "axillary"


@pytest.mark.parametrize(
    "ticks", [("neutropenia", "no-oral"), ("neutropenia", "head-out-of-reach"), ("neutropenia",)]
)
def test_neutropenia_without_a_mouth_asks_what_the_hospital_decided(ticks):
    """Neutropenic fever is defined by mouth (secondary source); no published line for another site was found."""
    said = [rule.says for rule in answer(*ticks).emergencies]
    assert any("defined by mouth" in one and "this hospital has decided on" in one for one in said)


def test_a_cold_infant_is_an_emergency():
    """WHO, by armpit: under 36.0 is moderate hypothermia (secondary source)."""
    for age in (NEWBORN, INFANT):
        assert any("under {36.0} by armpit" in rule.says for rule in answer(age=age).emergencies)


def test_a_next_site_in_isolation_keeps_its_probe_cover_too():
    apart = answer(isolation="contact")
    assert (site(apart), instead(apart)) == ("temporal", "oral")
    assert any("always get a new probe cover" in rule.says for rule in apart.cautions)
