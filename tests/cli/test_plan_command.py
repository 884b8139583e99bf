"""`browline plan` as a shell sees it."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from pypdf import PdfReader

from browline.cli.main import main


@pytest.fixture
def roster(book):
    """Larch: three who work early on every day from next Monday on."""
    from browline.store.models import Person, Shift

    today = datetime.now(UTC).date()
    monday = today + timedelta(days=7 - today.weekday())
    for number, name in enumerate(("Asha", "Ben", "Chidi"), 1):
        person = Person.objects.create(
            identifier=f"{number:04d}", pseudonym=number, name=name, role="Registered nurse", ward="Larch"
        )
        for day in (monday + timedelta(days=d) for d in range(14)):
            start = datetime(day.year, day.month, day.day, 7, tzinfo=UTC)
            end = start + timedelta(hours=8)
            Shift.objects.create(
                person=person, date=day, ward="Larch", code="E", kind="early", start=start, end=end
            )
    return str(book.folder), monday


def test_a_plan_is_printed_and_written(roster, capsys, tmp_path):
    book, monday = roster
    files = [str(tmp_path / name) for name in ("plan.pdf", "plan.ics", "plan.json")]
    pdf, ics, told = files
    asked = ["plan", "--book", book, "--from", monday.isoformat(), "--weeks", "2", "--seconds", "5"]
    assert main([*asked, "--pdf", pdf, "--ics", ics, "--json", told]) == 0
    out = capsys.readouterr().out
    assert "Larch, 20 min" in out and "of the 3 people left to reach are reached" in out
    assert "No plan within these limits" in out and "Asha" not in out
    result = json.loads((tmp_path / "plan.json").read_text())
    assert result["format"] == "browline-plan/1" and result["options"]["weeks"] == 2
    assert len(result["visits"]) == (tmp_path / "plan.ics").read_text().count("BEGIN:VEVENT") > 0
    assert "Asha" in PdfReader(pdf).pages[-1].extract_text()


def test_json_alone_goes_to_standard_output(roster, capsys):
    book, monday = roster
    assert main(["plan", "--book", book, "--from", monday.isoformat(), "--weeks", "1", "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out)["outcome"] == "best-possible"


def test_what_is_not_understood_makes_no_plan(roster, capsys, tmp_path):
    from browline.store.models import SessionPlan

    book, _ = roster
    for wrong in (
        ["--from", "soon"],
        ["--weeks", "9"],
        ["--weekdays", "8 to 4"],
        ["--pdf", str(tmp_path / "no" / "p.pdf")],
    ):
        assert main(["plan", "--book", book, *wrong]) == 2
    assert "There is no folder" in capsys.readouterr().err
    assert SessionPlan.objects.count() == 0


def test_without_a_roster_it_says_so(book, capsys):
    assert main(["plan", "--book", str(book.folder), "--weeks", "1"]) == 0
    assert "bring a roster in" in capsys.readouterr().out
