"""The reference is what the program writes of itself, and every list that it has is there."""

import re
from dataclasses import fields

import pytest
import reference_json
import write_reference

from browline.columns import IMPORT_KINDS
from browline.findings import KINDS, OUTCOMES
from browline.intake.codes import REASONS, REPAIRS
from browline.quantities import SITES
from browline.services.book.preferences import CHOICES
from browline.visit_plan import Outcome, Reason

TEXT = write_reference.TARGET.read_text(encoding="utf-8")


def part(name):
    """What stands between two marks of the reference as it lies there."""
    return re.search(rf"<!-- written: {name} -->\n(.*?)<!-- end -->", TEXT, re.DOTALL)[1]


def test_every_part_that_can_be_written_has_its_marks_once_and_no_mark_is_left_open():
    assert sorted(write_reference.marks(TEXT)) == sorted(write_reference.PARTS)
    assert TEXT.count("<!--") == TEXT.count("-->") == 2 * len(write_reference.PARTS)


@pytest.mark.parametrize("name", write_reference.PARTS)
def test_the_reference_is_as_the_program_writes_it(name):
    """Stale? python tools/write_reference.py"""
    assert part(name) == f"\n{write_reference.PARTS[name]()}\n\n"


def test_writing_it_again_changes_nothing():
    assert write_reference.written(TEXT) == TEXT


@pytest.mark.parametrize(
    ("name", "codes"),
    [
        ("findings", KINDS),
        ("outcomes", OUTCOMES),
        ("reasons", [*REASONS, *REPAIRS]),
        ("sites", SITES),
        ("choices", CHOICES),
        ("plan-outcomes", Outcome),
        ("unreached", Reason),
    ],
)
def test_a_table_has_one_row_for_each_of_its_catalogue(name, codes):
    assert re.findall(r"^\| `([a-z0-9_-]+)` \|", part(name), re.MULTILINE) == [str(code) for code in codes]


def test_every_column_has_its_row_with_the_words_of_its_closed_list():
    rows = set(part("columns").splitlines())
    for kind in IMPORT_KINDS.values():
        for column in kind.columns:
            (row,) = (row for row in rows if row.startswith(f"| {kind.id} | `{column.name}` |"))
            assert all(f"`{word}`" in row for word in column.choices) and row.endswith(f"{column.meaning} |")


def test_a_choice_says_what_its_value_rests_on():
    assert {one.name for one in fields(CHOICES["fever_c"])} == {"until_set", "meaning", "source"}
    for key, choice in CHOICES.items():
        (row,) = (row for row in part("choices").splitlines() if row.startswith(f"| `{key}` |"))
        assert choice.meaning in row and choice.source in row, key


def test_an_example_has_the_keys_of_its_schema_and_empty_values_of_their_types():
    parts = {
        "row": {
            "properties": {
                "n": {"type": "integer"},
                "since": {"anyOf": [{"type": "string"}, {"type": "null"}]},
            }
        }
    }
    schema = {
        "properties": {"rows": {"type": "array", "items": {"$ref": "#/$defs/row"}}, "by": {"type": "object"}, "v": {}},
        "required": ["rows", "by"],
        "additionalProperties": False,
    }  # fmt: skip
    assert reference_json.example(schema, parts) == {"rows": [{"n": 0, "since": ""}], "by": {}}


def test_a_long_example_is_laid_out_with_keys_under_keys():
    value = {"a" * 60: [{"b" * 50: 0, "c" * 50: 0}], "d": 0}
    assert reference_json.layout(value) == (
        f'{{"{"a" * 60}": [{{"{"b" * 50}": 0,\n{" " * 67}"{"c" * 50}": 0}}],\n "d": 0}}'
    )
