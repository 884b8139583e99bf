"""What commands write as JSON has the keys that the reference shows, and the format it names."""

import json
import re
from dataclasses import fields
from pathlib import Path

import pytest

import larch_at_night as cast
from browline.cli.main import main
from browline.services.instruments import register as registers
from browline.services.training.visit_plan.options import Options
from browline.visit_plan import Outcome

REFERENCE = (Path(__file__).parents[2] / "docs" / "reference.md").read_text(encoding="utf-8")
ASKED = {
    "plan": ["plan", "--from", "2026-03-02", "--weeks", "1"],
    "coverage": ["coverage", "--at", "2026-03-02 23:00"],
    "instruments": ["instruments"],
}


def example(name):
    """The example of the reference."""
    return json.loads(re.search(rf"```json {name}\n(.*?)```", REFERENCE, re.DOTALL)[1])


def shape(value, shown):
    """Names of fields, nested; of a list, those of all members; below an object shown empty nothing is promised."""
    if isinstance(value, list):
        inner = next(iter(shown), None) if isinstance(shown, list) else None
        return {name: part for member in value for name, part in shape(member, inner).items()}
    if not isinstance(value, dict) or shown == {}:
        return {}
    inner = shown if isinstance(shown, dict) else {}
    return {name: shape(part, inner.get(name)) for name, part in value.items()}


@pytest.fixture
def a_ward_at_night(book, monkeypatch):
    """Larch, its instruments and its champion, seen from a day before the night, so that a plan has visits."""
    from datetime import UTC, date, datetime

    from django.utils import timezone

    from browline.store.models import Champion, Person

    cast.a_night()
    registers.add_instrument("FS-07", ward="Larch", actor="ines")
    Champion.objects.create(person=Person.objects.first(), ward="Larch", start=date(2026, 1, 1))
    monkeypatch.setattr(timezone, "now", lambda: datetime(2026, 3, 1, 12, tzinfo=UTC))
    return str(book.folder)


@pytest.mark.parametrize("name", ASKED)
def test_the_example_of_the_reference_is_what_the_command_writes(name, a_ward_at_night, capsys):
    assert main([*ASKED[name], "--book", a_ward_at_night, "--json", "-"]) == 0
    written, shown = json.loads(capsys.readouterr().out), example(name)
    assert written["format"] == shown["format"] == f"browline-{name}/1"
    assert shape(written, shown) == shape(shown, shown)


def test_every_outcome_and_every_option_of_a_plan_is_in_the_reference():
    told = REFERENCE.split("How a plan ends (`outcome`)")[1].split("<!-- end -->")[0]
    assert set(re.findall(r"^\| `([a-z-]+)` \|", told, re.MULTILINE)) == {
        outcome.value for outcome in Outcome
    }
    assert set(example("plan")["options"]) == {field.name for field in fields(Options)}
