"""The pathway for a doubted reading: what it says as it comes, and what no version may leave out."""

import copy

import pytest

from browline.controlled import checked
from browline.errors import NotUnderstood
from browline.materials import pathway
from browline.materials.pathway import PARTS, REQUIRED, check, default, pathway_parts

BODY = checked(pathway.LAYOUT, default())
ROWS = {row["id"]: row for row in BODY["rows"]}


def without(id):
    return {**BODY, "rows": [row for row in BODY["rows"] if row["id"] != id]}


def changed(id, **fields):
    return {**BODY, "rows": [{**row, **fields} if row["id"] == id else row for row in BODY["rows"]]}


def says(part):
    return " ".join(row["says"] for row in BODY["rows"] if row["part"] == part)


def in_order(text, *words):
    places = [text.index(word) for word in words]
    return places == sorted(places)


def test_the_pathway_as_it_comes_may_be_approved():
    check(BODY)
    assert [part.name for part in pathway_parts(BODY)] == list(PARTS)


def test_five_reasons_to_escalate_stand_first_whatever_order_they_were_entered_in():
    """The five: the educator's own request, common practice, no source."""
    turned = {**BODY, "rows": BODY["rows"][::-1]}
    first = pathway_parts(turned)[0]
    assert first.title == "Escalate now, whatever the number"
    assert {line.id for line in first.lines} == {"ill", "early-warning", "immune", "infant", "surgery"}


def test_the_reading_order_of_practice():
    """Patient, then lens, sweat, side, cover, drink; wait; repeat; second instrument; other route: common practice."""
    assert in_order(
        says("order"), "Look at the patient", "lens", "sweat", "side", "cover", "drink", "Wait",
        "Repeat at the same site", "Second instrument at once", "another route",
    )  # fmt: skip


@pytest.mark.parametrize(
    "wait, words",
    [
        # Common practice, no source.
        ("repeat", ["about 30 s"]), ("bare", ["about 1 min"]), ("drenched", ["about 10 min"]),
        # Published: 150 children indoors; drinks, back to the first value after 15 min (cold) and 23 min (hot).
        ("cold", ["at least 10 min"]), ("drink", ["15 min after a cold", "23 min after a hot", "30 min"]),
    ],
)  # fmt: skip
def test_waits_of_the_trade_and_those_published(wait, words):
    assert ROWS[wait]["part"] == "wait" and all(word in ROWS[wait]["says"] for word in words)
    assert ("published" in ROWS[wait]["source"]) == (wait in ("cold", "drink"))


def test_other_routes_in_order_with_the_reasons_against_the_rectum():
    routes = says("route")
    assert in_order(
        routes, "core probe already in place", "Under 5", "Mouth", "Rectum", "Armpit, electronic, as"
    )
    for reason in (
        "neutropenia",
        "low platelets",
        "rectal surgery",
        "diarrhoea",
        "cardiac",
        "newborn policy",
    ):
        assert reason in ROWS["rectal"]["says"], reason


def test_under_5_neither_mouth_nor_rectum_is_routine():
    """NICE NG143: 1.1.1 no routine oral or rectal; 1.1.2 and 1.1.3 axilla, and infrared ear from 4 weeks on."""
    young = ROWS["young"]
    assert in_order(
        young["says"], "mouth and rectum not routinely", "armpit", "from 4 weeks", "ear, infrared"
    )
    assert "NICE NG143" in young["source"]


def test_how_far_apart_is_called_our_own_suggestion_in_a_form_with_both_units():
    apart = [row for row in BODY["rows"] if row["part"] == "tolerance"]
    assert all("own suggestion, no source" in row["source"] for row in apart)
    assert in_order(says("tolerance"), "{d 0.3}", "{d 0.5}", "{d 1.0}") and "°" not in says("tolerance")


def test_an_instrument_in_doubt_is_replaced_before_it_goes():
    for row in (ROWS["spare"], ROWS["far"]):
        assert in_order(row["says"], "bring a spare", "tag", "for a check"), row["id"]


def test_agreement_is_nowhere_called_health():
    assert "rules nothing out" in ROWS["nothing-out"]["says"]
    assert "does not make the patient well" in ROWS["agree"]["says"]
    assert "not that it is right" in ROWS["shared"]["says"]


@pytest.mark.parametrize("id", ROWS)
def test_every_line_says_on_whose_word_and_none_types_one_unit(id):
    assert any(word in ROWS[id]["source"] for word in ("no source", "published"))
    assert "°" not in ROWS[id]["says"] + ROWS[id]["source"]


@pytest.mark.parametrize("id", REQUIRED)
def test_without_a_line_that_must_be_there_it_is_refused(id):
    with pytest.raises(NotUnderstood, match=f"no longer say, as line '{id}'"):
        check(without(id))


@pytest.mark.parametrize("id", REQUIRED)
def test_a_line_emptied_of_its_meaning_or_moved_is_refused_as_if_it_were_gone(id):
    for change in ({"says": "See the intranet."}, {"part": "second"}):
        with pytest.raises(NotUnderstood, match="It has to stand under"):
            check(changed(id, **change))


def test_ward_words_beside_ours_are_taken():
    check(changed("infant", says="Under 3 months, or born before 32 weeks and under 6 months."))
    more = copy.deepcopy(BODY)
    more["rows"].append({**ROWS["ill"], "id": "stem-cells", "says": "Stem cells within a year: escalate."})
    check(more)


@pytest.mark.parametrize(
    "words",
    [
        "Two readings agree: no need to escalate.",
        "Repeat before escalating.",
        "Normal on repeat: do not escalate.",
        "Escalate only if both are high.",
        "Watch the patient instead of escalating.",
        "Escalation is not needed under 38.",
    ],
)
def test_words_that_hold_escalation_back_are_refused_wherever_they_stand(words):
    with pytest.raises(NotUnderstood, match="leave not to escalate"):
        check(changed("agree", says=words))


@pytest.mark.parametrize("words", ["Worse: escalate.", "Do not delay escalation.", "Escalate, then repeat."])
def test_words_that_ask_for_escalation_are_taken(words):
    check(changed("agree", says=words))


def test_the_line_on_charting_is_the_hospitals_words_and_ours_at_once():
    assert pathway.CHART == "Chart every reading with its site in the patient record; this is not the record."
    assert "never average two" in ROWS["chart"]["says"] and "not taken" in ROWS["not-taken"]["says"]


def test_the_reference_lists_the_lines_that_no_version_may_lack():
    from pathlib import Path

    text = (Path(__file__).parents[2] / "docs" / "reference.md").read_text(encoding="utf-8")
    section = text.split("## Bedside")[1].split("\n## ")[0]
    told = [line.split("|")[1:3] for line in section.splitlines() if line.startswith("| `")]
    assert {row.strip(" `"): part.strip(" `") for row, part in told} == {
        id: held.part for id, held in REQUIRED.items()
    }
