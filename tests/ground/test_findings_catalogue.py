"""The catalogue of findings: one row a kind, nothing missing from a page, and methods' numbers complete beside it."""

import json
import string
from dataclasses import replace
from pathlib import Path

import pytest

from browline.audit import TESTS
from browline.audit.solve import LETS_PASS, RELATIVE
from browline.audit.thresholds import LINES
from browline.findings import (
    AUDITED,
    BY_ID,
    BY_MODEL,
    CATALOGUE,
    FLAGGED,
    FORTNIGHT,
    HEADINGS,
    KINDS,
    OUTCOMES,
    SUBJECTS,
    UNMEASURED,
    Chapter,
    Finding,
    finding_kind,
    kinds_in,
    reference_rows,
)
from browline.services.review.look_back import ROWS_OF as ROWS_OF_FINDINGS
from browline.services.review.wards.rows_behind import ROWS_OF as ROWS_OF_ANSWERS

SCHEMA = Path(__file__).parents[2] / "docs" / "schema" / "review.json"
# What the audit and the joint model fill in, and what a page fills in.
NAMES = {
    "sentence": {
        "subject", "at", "n", "of", "count", "times", "usual", "observed", "expected", "share", "also", "step", "units",
        "chance", "above", "above_expected", "below", "below_expected", "size", "comparator", "since", "evidence",
        "verb", "days", "per_day", "span", "partner",
    },
    "size": {"share", "n", "of", "which", "units"},
    "quiet": {"units"},
    "titled": {"at"},
    "comparator": {"comparator", "partner"},
    "because": {"n", "when", "over", "comparator", "size", "span"},
    "committee": {"names"},
}  # fmt: skip


def placeholders(template):
    return {name for _, name, _, _ in string.Formatter().parse(template) if name}


def test_ids_and_places_are_each_once():
    assert len(BY_ID) == len(CATALOGUE)
    for place in ([k.place for k in FLAGGED], [k.help_place for k in CATALOGUE if k.help]):
        assert len(set(place)) == len(place) and all(place)


def test_the_contract_has_the_kinds_that_reviews_flag_in_its_order():
    enum = json.loads(SCHEMA.read_text())["$defs"]["FindingRow"]["properties"]["kind"]["enum"]
    assert tuple(enum) == KINDS


def test_the_mode_is_in_the_contract_and_to_come():
    assert [k.id for k in CATALOGUE if k.to_come] == ["instrument-mode"]
    assert "instrument-mode" in KINDS and "instrument-mode" not in BY_MODEL


@pytest.mark.parametrize("kind", FLAGGED, ids=lambda k: k.id)
def test_every_flag_is_on_the_committees_list_unless_it_is_about_a_person(kind):
    assert kind.committee.endswith(": {names}.") or kind.subjects == (SUBJECTS["person"],)


@pytest.mark.parametrize("kind", CATALOGUE, ids=lambda k: k.id)
@pytest.mark.parametrize("field", NAMES)
def test_templates_ask_for_what_the_rooms_fill_in(kind, field):
    assert placeholders(getattr(kind, field)) <= NAMES[field]


@pytest.mark.parametrize(
    "field", ["committee", "place", "whether", "ask", "causes", "sentence", "action", "title"]
)
def test_a_row_that_would_be_missing_from_a_page_is_refused(field):
    with pytest.raises(ValueError, match=f"'value-spike' of finding says nothing for: {field}"):
        replace(finding_kind("value-spike"), **{field: type(getattr(finding_kind("value-spike"), field))()})


def test_a_finding_is_of_a_kind_that_reviews_flag():
    with pytest.raises(ValueError, match="'edge' is not a kind of finding; the kinds are instrument-offset"):
        Finding(
            kind="edge", subject_type="ward", subject_id="Alder", effect=None, low=None, high=None, unit="share",
            probability=None, n=1, since=None, causes=(), action="", sentence="",
        )  # fmt: skip


def test_a_sign_becomes_a_finding_of_a_kind_that_is_there():
    assert {k.finding for k in CATALOGUE if k.finding} == set(KINDS)
    assert [k.id for k in CATALOGUE if k.finding and not k.flagged] == ["unit-pattern"]


def test_outcomes_that_fit_are_outcomes_and_each_fits_something():
    fitting = {code for subject in SUBJECTS.values() for code, _ in subject.outcomes}
    assert fitting == set(OUTCOMES)
    assert all(subject.outcomes and subject.owner and subject.question for subject in SUBJECTS.values())


def test_the_report_speaks_of_every_kind_once():
    assert sorted(kind for chapter in Chapter for kind in kinds_in(chapter)) == sorted(KINDS)
    assert all(kind.startswith("instrument-") for kind in kinds_in(Chapter.INSTRUMENTS))


def test_a_wrong_unit_is_looked_at_the_same_day_and_an_instrument_within_a_week():
    days = {kind.id: kind.due_days for kind in FLAGGED}
    assert days["instrument-unit"] == 0
    assert all(days[kind] <= 7 for kind in kinds_in(Chapter.INSTRUMENTS))
    assert set(days.values()) == {0, 2, 7, FORTNIGHT}


def test_the_numbers_of_the_audit_are_complete():
    """Every test has its line, or the size that a quiet one must have been able to see; one names a unit."""
    assert sorted([*LINES, *LETS_PASS, *RELATIVE, "unit-pattern"]) == sorted(TESTS)
    assert set(UNMEASURED) < set(LETS_PASS)


@pytest.mark.parametrize("table", [ROWS_OF_FINDINGS, ROWS_OF_ANSWERS], ids=["finding", "answer"])
def test_rows_are_listed_of_signs_that_are_there(table):
    assert set(table) < set(AUDITED)


def test_the_reference_has_a_row_for_each_kind():
    rows = reference_rows()
    assert tuple(row[0] for row in rows) == KINDS
    assert all(
        len(row) == len(HEADINGS) and all(row) and not any("{" in cell for cell in row) for row in rows
    )
