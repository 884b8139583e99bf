"""`browline hand-out` as a shell sees it."""

import pytest
from pypdf import PdfReader

from browline.cli.main import main

NAMES = [
    "pocket-card",
    "poster",
    "site-card",
    "site-card-reasons",
    "teach-back",
    "questions",
    "pathway",
    "sign-in-sheet",
    "round-sheet",
]


def run(book, target, name, *more):
    return main(["hand-out", name, "--pdf", str(target), "--book", str(book.folder), *more])


@pytest.mark.parametrize("name", NAMES)
def test_each_is_written(book, capsys, tmp_path, name):
    assert run(book, tmp_path / "h.pdf", name) == 0
    assert (tmp_path / "h.pdf").read_bytes().startswith(b"%PDF")
    assert "wrote " in capsys.readouterr().err


def test_it_says_how_what_it_wrote_stands(book, capsys, tmp_path):
    assert run(book, tmp_path / "h.pdf", "pocket-card") == 0
    assert capsys.readouterr().out == "Pocket card, version 1, DRAFT.\n"


def test_a_copy_taken_by_command_is_noted(book, tmp_path):
    from browline.store.models import Event

    run(book, tmp_path / "h.pdf", "poster", "--paper", "a3")
    assert Event.objects.get(verb="hand-out").subject == "poster"
    assert round(float(PdfReader(tmp_path / "h.pdf").pages[0].mediabox.width)) == 842


def test_a_round_sheet_is_of_the_ward_asked_for(book, capsys, tmp_path):
    from browline.store.models import Instrument

    Instrument.objects.create(name="FS-01", ward="Larch")
    Instrument.objects.create(name="FS-02", ward="Maple")
    assert run(book, tmp_path / "h.pdf", "round-sheet", "--ward", "Larch") == 0
    said = PdfReader(tmp_path / "h.pdf").pages[0].extract_text()
    assert "FS-01" in said and "FS-02" not in said
    assert capsys.readouterr().out == "A round, Larch: 1 listed.\n"


@pytest.mark.parametrize(
    "more, said",
    [
        (("leaflet",), "There are pocket-card, poster"),
        (("banana",), "sign-in-sheet, round-sheet. Choose one."),
        (("pocket-card", "--paper", "a3"), "It is set on a4, us-letter"),
        (("round-sheet", "--paper", "a3"), "It is set on a4, us-letter"),
    ],
)
def test_what_cannot_be_written_is_refused_and_nothing_is_left(book, capsys, tmp_path, more, said):
    assert run(book, tmp_path / "h.pdf", *more) == 2
    assert said in capsys.readouterr().err and not (tmp_path / "h.pdf").exists()


def test_a_round_of_a_ward_that_nobody_knows_is_refused(book, capsys, tmp_path):
    from browline.store.models import Instrument

    assert run(book, tmp_path / "blank.pdf", "round-sheet", "--ward", "Ward Z") == 0
    Instrument.objects.create(name="FS-01", ward="Larch")
    Instrument.objects.create(name="FS-02", ward="Maple")
    assert run(book, tmp_path / "h.pdf", "round-sheet", "--ward", "Ward Z") == 2
    assert "knows no ward 'Ward Z'. It knows Larch, Maple." in capsys.readouterr().err
    assert not (tmp_path / "h.pdf").exists()


def test_a_folder_that_is_not_there_is_refused(book, capsys, tmp_path):
    assert run(book, tmp_path / "no" / "h.pdf", "poster") == 2
    assert "There is no folder" in capsys.readouterr().err


def test_a_card_can_be_had_before_any_file_is_brought_in(tmp_path):
    """In a process of its own: a book that is not there yet is begun."""
    import os
    import subprocess
    import sys

    ask = [sys.executable, "-m", "browline.cli.main", "hand-out", "pocket-card", "--pdf", tmp_path / "h.pdf"]
    own = {**os.environ, "BROWLINE_KEYS": str(tmp_path / "keys")}
    done = subprocess.run([*ask, "--book", tmp_path / "new"], capture_output=True, text=True, env=own)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "h.pdf").read_bytes().startswith(b"%PDF")
