"""Cleanings entered by hand."""

from datetime import UTC, datetime, timedelta

import pytest

from browline.errors import InputRefused, NotUnderstood
from browline.services.instruments import register as registers
from browline.services.instruments.cleaning import enter

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)


@pytest.fixture
def fleet(book):
    for name in ("FS-07", "FS-08"):
        registers.add_instrument(name, ward="Larch", actor="ines")
    return book


def clean(*names, **facts):
    return enter(names, **{"time": NOW, "actor": "ines", "now": NOW} | facts)


def test_several_are_entered_at_once_and_once(fleet):
    from browline.store.models import Cleaning, Event

    first = clean("FS-07", "FS-08", agent="alcohol swab", who="Ada")
    again = clean("FS-07", "FS-08", agent="alcohol swab")
    assert (first.kept, first.already_here, first.cautions) == (2, 0, ())
    assert (again.kept, again.already_here) == (0, 2)
    assert Cleaning.objects.count() == 2
    event = Event.objects.get(verb="cleaning")
    assert event.data == {
        "instruments": ["FS-07", "FS-08"],
        "part": "lens",
        "agent": "alcohol swab",
        "who": "Ada",
    }


def test_an_agent_that_damages_a_lens_is_recorded_with_a_caution(fleet):
    """Common practice, no source."""
    from browline.store.models import Cleaning

    entered = clean("FS-07", agent="bleach wipe")
    assert (
        entered.kept == 1 and "lens damage" in entered.cautions[0] and "bring a spare" in entered.cautions[0]
    )
    assert Cleaning.objects.get().agent == "bleach wipe"
    assert clean("FS-07", agent="bleach wipe", part="case").cautions == ()


@pytest.mark.parametrize(
    "names, facts, error",
    [
        ((), {}, InputRefused),
        (("FS-07", "FS-99"), {}, InputRefused),
        (("FS-07",), {"part": "strap"}, NotUnderstood),
        (("FS-07",), {"time": NOW + timedelta(hours=2)}, InputRefused),
    ],
)
def test_what_cannot_be_entered_is_refused_whole(fleet, names, facts, error):
    from browline.store.models import Cleaning, Event

    with pytest.raises(error):
        clean(*names, **facts)
    assert not Cleaning.objects.exists() and not Event.objects.filter(verb="cleaning").exists()
