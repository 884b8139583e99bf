"""Importing the kept book's files again adds nothing: no reading, no row of a register, no receipt."""

import json

import pytest
from kept import readings_in_force, rows

from browline.cli.main import main


def bring_again(kept, one, folder):
    """The entries of the receipt of a file that is brought once more, as it was brought then."""
    files, target = kept.folder / "files", folder / "receipt.json"
    more = ["--as", one["kind"]] if one["kind"] else []
    more += ["--map", str(files / one["mapping"])] if one["mapping"] else []
    where = ["--zone", one["zone"], "--book", str(kept.book.folder), "--json", str(target)]
    assert main(["import", str(files / one["file"]), *more, *where]) == 0
    return json.loads(target.read_text(encoding="utf-8"))["files"]


@pytest.fixture(scope="module")
def again(kept, tmp_path_factory):
    """What stood in the book, the receipts of its files brought again, and what stands there then."""
    folder = tmp_path_factory.mktemp("again")
    before = (rows(), readings_in_force(kept.book), _names(kept))
    receipts = {one["file"]: bring_again(kept, one, folder) for one in kept.facts["files"] if one["again"]}
    return before, receipts, (rows(), readings_in_force(kept.book), _names(kept))


def _names(kept):
    return sorted(path.name for path in kept.book.readings.iterdir())


def test_nothing_is_taken(again):
    assert {name for name, told in again[1].items() if any(one["taken"] for one in told)} == set()


def test_every_row_is_known_or_set_aside_as_it_was(kept, again):
    counts = ("kind", "rows", "already_here", "set_aside")
    told = {
        name: [{key: one[key] for key in counts} for one in entries] for name, entries in again[1].items()
    }
    assert told == kept.told("frozen/again.json")


def test_nothing_in_the_book_is_more_or_less(again):
    assert again[2] == again[0]


def test_readings_that_were_taken_back_come_in_anew(kept, again, tmp_path):
    (one,) = [one for one in kept.facts["files"] if not one["again"]]
    (entry,) = bring_again(kept, one, tmp_path)
    assert (entry["taken"], entry["already_here"]) == (entry["rows"], 0)
