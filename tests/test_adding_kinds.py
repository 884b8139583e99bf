"""A kind of import and a measuring site, each added in one place on a copy, are found behind every door."""

import difflib
import json
import os
import subprocess
import sys

import pytest

import added_import_and_site as added

MOST_LINES_ELSEWHERE = 3


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    return added.copied(tmp_path_factory.mktemp("added"))


@pytest.fixture(scope="module")
def said(copy):
    """What each door of the copy says."""
    (copy / "visit").mkdir()
    path = os.pathsep.join(map(str, (copy / "src", added.ROOT / "tools")))
    ran = subprocess.run(
        [sys.executable, added.__file__, str(copy / "visit")],
        env=os.environ | {"PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1"},
        capture_output=True,
        text=True,
    )
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


def added_lines(copy):
    """Lines that the copy has and the program has not, by file."""
    lines = {}
    for path in copy.rglob("*.py"):
        name = path.relative_to(copy)
        before = (added.ROOT / name).read_text().splitlines() if (added.ROOT / name).is_file() else []
        diff = difflib.unified_diff(before, path.read_text().splitlines(), n=0, lineterm="")
        if more := [line[1:] for line in diff if line[:1] in "+-" and line[:3] not in ("+++", "---")]:
            lines[str(name)] = more
    return lines


def test_each_is_one_row_and_three_lines_at_most_elsewhere(copy):
    lines = added_lines(copy)
    assert "\n".join(lines.pop(added.KIND_FILE)) + "\n" == added.KIND_ROW
    assert "\n".join(lines.pop(added.SITE_FILE)) + "\n" == added.SITE_ROW
    for elsewhere in (added.KIND_ELSEWHERE, added.SITE_ELSEWHERE):
        files = {name for name, _, _ in elsewhere}
        assert 1 <= sum(len(lines.pop(name)) for name in files) <= MOST_LINES_ELSEWHERE
    assert lines == {}


def test_a_file_of_the_kind_is_recognised_taken_and_not_taken_twice(said):
    first, again = (json.loads(said[name])["files"][0] for name in ("receipt", "receipt again"))
    assert (first["kind"], first["taken"], first["set_aside"]) == (added.KIND, 1, 0)
    assert first["mapping"] == {"time": "Delivered", "what": "Description", "ward": "Ward"}
    assert (again["taken"], again["already_here"]) == (0, 1)
    assert "When instruments came to a ward." in json.loads(said["receipt"])["can_answer"]


def test_the_kind_is_in_the_help_on_the_mapping_form_and_on_its_receipt(said):
    assert "deliveries" in said["help"]
    assert json.loads(said["mapping form"])[added.KIND] == "deliveries of thermometers"
    assert "Deliveries, taken in" in said["receipt page"]
    assert "When instruments came to a ward." in said["receipt page"]


def test_the_kind_and_the_site_are_rows_of_the_reference(said):
    rows = said["reference"].splitlines()
    assert "| deliveries | `time`, `what` | `ward` |" in rows
    assert "| deliveries | `ward` | word | where to |" in rows
    assert "| `wrist` | wrist |  | wrist, radial |  |  |" in rows


def test_the_word_of_a_chart_is_read_as_the_site(said):
    assert json.loads(said["sites read"]) == ["wrist", "oral"]


def test_the_site_is_in_the_chooser_on_the_card_and_at_the_desk(said):
    assert said["chooser"] == "scan across the wrist"
    assert json.loads(said["card"]) == [["wrist, inner side"]]
    assert '<option value="wrist">Wrist</option>' in said["desk"]
    assert "wrist" in said["answer"]
