"""A rule, a page and a room, each added in one place on a copy, are found behind their doors."""

import difflib
import json
import os
import shutil
import subprocess
import sys

import pytest

import added_places as added

MOST_LINES_ELSEWHERE = 3


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    return added.copied(tmp_path_factory.mktemp("added"))


def ran(copy, *command):
    path = os.pathsep.join(map(str, (copy / "src", copy / "tools")))
    environment = os.environ | {"PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1"}
    return subprocess.run(
        [sys.executable, *map(str, command)], env=environment, capture_output=True, text=True, cwd=copy
    )


@pytest.fixture(scope="module")
def said(copy):
    """What each door of the copy says."""
    (copy / "visit").mkdir()
    visit = ran(copy, added.__file__, copy / "visit")
    assert visit.returncode == 0, visit.stderr
    return json.loads(visit.stdout)


def added_lines(copy):
    """Lines that the copy has and the program has not, by file."""
    lines = {}
    for path in (p for p in copy.rglob("*") if p.suffix in (".py", ".html")):
        name = path.relative_to(copy)
        before = (added.ROOT / name).read_text().splitlines() if (added.ROOT / name).is_file() else []
        diff = difflib.unified_diff(before, path.read_text().splitlines(), n=0, lineterm="")
        if more := [line[1:] for line in diff if line[:1] in "+-" and line[:3] not in ("+++", "---")]:
            lines[str(name)] = more
    return lines


def test_each_is_one_row_or_folder_and_three_lines_at_most_elsewhere(copy):
    lines = added_lines(copy)
    assert "\n".join(lines.pop(added.RULE_FILE)) + "\n" == added.RULE_ROW
    for folder in (added.ROOM, added.PAGE):
        assert len({os.path.dirname(name) for name in folder}) == 1
        for name, text in folder.items():
            assert "\n".join(lines.pop(name)) + "\n" == text
    for elsewhere in (added.ROOM_ELSEWHERE, added.PAGE_ELSEWHERE):
        files = {name for name, _, _ in elsewhere}
        assert 1 <= sum(len(lines.pop(name)) for name in files) <= MOST_LINES_ELSEWHERE
    assert lines == {}


def test_the_rule_is_in_the_answer_on_the_card_and_in_the_document(said):
    assert "Wait until the lens is dry." in json.loads(said["answer"])
    assert "Wait until the lens is dry." in json.loads(said["card"])
    assert "Wait until the lens is dry." in said["document"]


def test_the_page_shows_the_rooms_answer_to_the_educator_alone_and_is_linked(said):
    assert "<h1>How many spares?</h1>" in said["page"] and "Bring 3." in said["page"]
    assert said["stranger"] == "403"
    assert '<a href="/spares/">How many spares?</a>' in said["page before"]


def test_the_floors_of_the_copy_know_the_room(copy, tmp_path):
    """The room alone, since reading the whole house again takes long."""
    for part in ("src/browline/loan_pool", "tools", "tests"):
        shutil.copytree(copy / part, tmp_path / part, dirs_exist_ok=True)
    chosen = ("-k", "floor_is_known or below or other_room")
    house = ran(tmp_path, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-c", os.devnull, *chosen, "tests")
    assert house.returncode == 0, house.stdout[-2000:]
    assert "3 passed" in house.stdout
