"""`browline instruments` as a shell sees it."""

import json
from datetime import UTC, datetime

import pytest
from django.utils import timezone

from browline.cli.main import main
from browline.services.instruments import register as registers
from browline.services.instruments.rounds import Line, Round, record_round


@pytest.fixture
def larch(book):
    registers.add_instrument("FS-07", ward="Larch", actor="ines")
    return str(book.folder)


def test_the_count_what_is_due_and_the_wards(larch, capsys):
    assert main(["instruments", "--book", larch]) == 0
    said = capsys.readouterr().out
    assert said.startswith("1 is in service. No round has been made yet.")
    assert "FS-07 (Larch): no lens cleaning on record" in said
    assert "Larch: no round yet; how many are needed is not stated" in said and "not located" not in said
    now = timezone.now()
    record_round(Round("Yew", now, (Line("FS-20", "present"),)), actor="ines", now=now)
    assert main(["instruments", "--book", larch]) == 0
    said = capsys.readouterr().out
    assert said.startswith("0 of 1 in service are located")
    assert "Larch: 0 ready; how many are needed is not stated; not located: FS-07" in said


def test_as_json(larch, capsys, tmp_path):
    assert main(["instruments", "--book", larch, "--json", "-"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == "browline-instruments/1" and told["count"]["not_located"] == 1
    target = tmp_path / "kit.json"
    assert main(["instruments", "--book", larch, "--json", str(target)]) == 0
    assert json.loads(target.read_text())["due"] == told["due"]
    assert main(["instruments", "--book", larch, "--json", str(tmp_path / "no" / "kit.json")]) == 2


def test_a_sound_fleet_has_nothing_due(larch, capsys):
    from datetime import timedelta

    from browline.services.instruments.rounds import Line, Round, record_round

    now = datetime.now(UTC)
    line = Line("FS-07", "present", lens="cleaned", battery="ok")
    record_round(Round("Larch", now - timedelta(hours=1), (line,)), actor="ines", now=now)
    registers.enter_check("FS-07", time=now - timedelta(days=9), reference=37, shown=37, actor="ines")
    assert main(["instruments", "--book", larch]) == 0
    assert "Nothing is due today." in capsys.readouterr().out


def test_no_book_is_made_by_a_slip(tmp_path, capsys):
    assert main(["instruments", "--book", str(tmp_path / "none")]) == 3
    assert "There is no book" in capsys.readouterr().err
