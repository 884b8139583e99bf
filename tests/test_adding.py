"""Adding one thing touches one place: done on a copy of the program, which then says it behind every door."""

import difflib
import json
import os
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

import added_finding_kind as added

MOST_LINES_ELSEWHERE = 3
SENTENCE = "Alder: 78.6 % (74.8 to 81.9 %), 396 of 504 readings, stand in whole degrees."


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    """The program with one kind of finding more."""
    return added.copied(tmp_path_factory.mktemp("added"))


@pytest.fixture(scope="module")
def said(copy):
    """What each of its doors says of a book with such a finding."""
    (copy / "visit").mkdir()
    path = os.pathsep.join(map(str, (copy / "src", added.ROOT / "tools")))
    ran = subprocess.run(
        [sys.executable, added.__file__, str(copy / "visit")],
        env=os.environ
        | {
            "PYTHONPATH": path,
            "OPENBLAS_NUM_THREADS": "1",
        },
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


def changed_lines(copy, name):
    """Lines that a file of the copy has and the program's has not, or the other way round."""
    before, after = ((Path(root) / name).read_text().splitlines() for root in (added.ROOT, copy))
    lines = difflib.unified_diff(before, after, n=0, lineterm="")
    return [line for line in lines if line[:1] == "+" and not line.startswith("+++")]


def test_a_kind_of_finding_is_a_row_and_three_lines_at_most(copy):
    files = [
        p.relative_to(copy) for p in copy.rglob("*") if p.is_file() and p.suffix in (".py", ".json", ".html")
    ]
    changed = {str(name): lines for name in files if (lines := changed_lines(copy, name))}
    row = changed.pop(added.CATALOGUE)
    assert "\n".join(line[1:] for line in row) == added.ROW.rstrip("\n")
    assert 1 <= sum(map(len, changed.values())) <= MOST_LINES_ELSEWHERE


@pytest.mark.parametrize("door", ["terminal", "json", "html", "pdf", "xlsx", "today", "finding"])
def test_it_is_told_with_its_action(said, door):
    assert SENTENCE in said[door] and "Ask for a field of tenths." in said[door]


def test_it_is_of_the_contract(said):
    review, schema = json.loads(said["json"]), json.loads(said["schema"])
    jsonschema.validate(review, schema)
    assert added.KIND in schema["$defs"]["FindingRow"]["properties"]["kind"]["enum"]
    assert added.KIND in {f["kind"] for f in review["findings"]}


def test_it_is_on_the_committees_list(said):
    assert "See that tenths can be charted: Alder." in said["committee"]


def test_the_page_of_the_finding_asks_what_came_of_asking_the_ward(said):
    assert (
        "What came of asking the ward?" in said["finding"]
        and "the form has no field for tenths" in said["finding"].lower()
    )


def test_the_pages_of_the_wards_ask_and_say_where_nothing_was_seen(said):
    assert "Does the form take tenths?" in said["ward"]
    assert (
        "Does the form take tenths?" not in said["other ward"]
        and "readings in whole degrees" in said["other ward"].lower()
    )


def test_it_is_in_the_reference(said):
    row = "| `whole-degrees` | readings in whole degrees | ward | audit of charting | all readings charted there |"
    assert row in said["reference"]
