"""`browline coverage` as a shell sees it."""

import json

import pytest

import larch_at_night as cast
from browline.cli.main import main


@pytest.fixture
def night(book):
    cast.a_night()
    return str(book.folder)


def test_who_is_on_duty_and_not_signed_off(night, capsys):
    assert main(["coverage", "--at", "2026-03-02 23:00", "--book", night]) == 0
    said = capsys.readouterr().out
    for line in (
        "On duty 02 Mar 2026 23:00",
        "Eligible: 6, of whom 3 are signed off.",
        "Excluded: 1 (1 on long leave).",
        "  - Cem Oak (Larch): Never observed. At a session on 01 Feb 2026; being there alone is no sign-off.",
        "  - Ida Birch (Larch): The sign-off of 10 Feb 2025 ended on 10 Feb 2026.",
        "  unknown: Eve Lund, on the roster, on no staff list and never observed",
        "  excluded: Gil Stone, on long leave",
        "02 Mar 2026 to 29 Mar 2026, most left to see first:",
        "  - Larch, night shift, nurse: 2 of 4 signed off (50 %, likely 15 to 85 %).",
    ):
        assert line in said, line


def test_as_json(night, capsys, tmp_path):
    assert main(["coverage", "--at", "2026-03-02 23:00", "--json", "-", "--book", night]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == "browline-coverage/1"
    assert (told["on_duty"]["eligible"], told["on_duty"]["signed_off"]) == (6, 3)
    assert [c["eligible"] for c in told["weeks"]["cells"]] == [1, 4, 1]
    target = tmp_path / "coverage.json"
    assert main(["coverage", "--at", "2026-03-02 23:00", "--json", str(target), "--book", night]) == 0
    assert json.loads(target.read_text()) == told and "On duty" in capsys.readouterr().out


def test_the_moment_is_the_wards(night, capsys):
    from browline.services.book.change_preference import set_choice

    set_choice("zone", "America/Chicago", "ines")
    # Seven in the evening by UTC, when the shift begins, is one in the afternoon there.
    main(["coverage", "--at", "2026-03-02 12:59", "--json", "-", "--book", night])
    assert json.loads(capsys.readouterr().out)["on_duty"]["eligible"] == 0
    main(["coverage", "--at", "2026-03-02 13:00", "--json", "-", "--book", night])
    assert json.loads(capsys.readouterr().out)["on_duty"]["eligible"] == 6


def test_a_moment_that_is_none_is_refused(night, capsys):
    assert main(["coverage", "--at", "tonight", "--book", night]) == 2
    assert "A moment looks like" in capsys.readouterr().err
    assert main(["coverage", "--at", "9999-12-31 23:59", "--book", night]) == 2
    assert "No roster reaches there." in capsys.readouterr().err


def test_an_empty_book_says_what_to_bring(book, capsys):
    assert main(["coverage", "--book", str(book.folder)]) == 0
    assert "bring in a staff list" in capsys.readouterr().out


def test_no_book_and_no_folder(tmp_path, capsys):
    assert main(["coverage", "--book", str(tmp_path / "none")]) == 3
    assert main(["coverage", "--json", str(tmp_path / "no" / "c.json"), "--book", str(tmp_path)]) == 2
