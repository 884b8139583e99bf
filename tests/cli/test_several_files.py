"""Several files at once: one that is refused does not stop the others, and is reported with its reason."""

import json

import pytest

from browline.cli.main import main
from browline.store.models import Import

SOUND = "stay,time,temp,site,ward\nV{n},2026-03-0{n} 06:00,36.{n},oral,Larch\n"


@pytest.fixture
def three(export):
    """A sound file, one that nobody can read, and a sound one after it."""
    return [
        str(export(SOUND.format(n=1), "first.csv")),
        str(export("a,b\n1,2\n", "minutes.csv")),
        str(export(SOUND.format(n=3), "third.csv")),
    ]


def test_the_others_go_in_and_the_refused_one_is_named(book, three, capsys, tmp_path):
    target = tmp_path / "receipt.json"
    assert main(["import", *three, "--book", str(book.folder), "--json", str(target)]) == 3
    said = capsys.readouterr()
    assert "first.csv: readings" in said.out and "third.csv: readings" in said.out
    assert "1 of 3 files was refused. minutes.csv: " in said.err
    assert "The other files were not held up." in said.err
    assert Import.objects.count() == 2
    receipt = json.loads(target.read_text())
    assert receipt["format"] == "browline-receipt/1"
    assert [entry["file"] for entry in receipt["files"]] == ["first.csv", "third.csv"]
    assert [entry["file"] for entry in receipt["refused"]] == ["minutes.csv"]
    assert receipt["refused"][0]["sentence"] in said.err
    assert receipt["can_answer"]


def test_to_standard_output_the_receipt_is_whole_and_nothing_but_json(book, three, capsys):
    assert main(["import", *three, "--book", str(book.folder), "--json", "-"]) == 3
    receipt = json.loads(capsys.readouterr().out)
    assert [len(receipt["files"]), len(receipt["refused"])] == [2, 1]


def test_where_all_are_refused_nothing_was_taken(book, export, capsys):
    files = [str(export("a,b\n1,2\n", name)) for name in ("one.csv", "two.csv")]
    assert main(["import", *files, "--book", str(book.folder)]) == 3
    said = capsys.readouterr()
    assert "2 of 2 files were refused. one.csv: " in said.err and "two.csv: " in said.err
    assert "Nothing was taken." in said.err and said.out == ""
    assert not Import.objects.exists()


def test_files_of_one_name_are_told_apart_by_their_folders(book, tmp_path, capsys):
    for ward in ("larch", "maple"):
        (tmp_path / ward).mkdir()
        (tmp_path / ward / "export.csv").write_text("a,b\n1,2\n")
    files = [str(tmp_path / ward / "export.csv") for ward in ("larch", "maple")]
    main(["import", *files, "--book", str(book.folder)])
    said = capsys.readouterr().err
    assert all(file in said for file in files)


def test_maps_are_shown_of_the_others_too(book, three, capsys):
    assert main(["import", *three, "--book", str(book.folder), "--show-map"]) == 3
    said = capsys.readouterr()
    assert said.out.count('"temp"') == 2 and "minutes.csv: " in said.err
