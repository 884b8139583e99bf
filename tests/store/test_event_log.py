"""A change and its event stand or fall together, the event first; a block that changes nothing leaves none."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from browline.store.event_log import Unchanged, recorded, write_event
from browline.store.models import Event, Setting


def test_the_event_is_written_before_what_it_tells_of(book):
    with (
        CaptureQueriesContext(
            connection,
        ) as queries,
        recorded("ines", "set", "paper", {"value": "a4"}),
    ):
        Setting.objects.create(key="paper", value="a4")
    written = [q["sql"] for q in queries if q["sql"].startswith("INSERT")]
    assert ["event" in sql for sql in written] == [True, False]
    event = Event.objects.get()
    assert (event.actor, event.verb, event.subject, event.data) == ("ines", "set", "paper", {"value": "a4"})


def test_a_fault_takes_the_event_and_the_change_back(book):
    with pytest.raises(ValueError, match="a fault"), recorded("ines", "set", "paper"):
        Setting.objects.create(key="paper", value="a4")
        raise ValueError("a fault")
    assert not Event.objects.exists() and not Setting.objects.filter(key="paper").exists()


def test_a_block_that_had_nothing_to_change_leaves_no_event_and_the_deed_around_it_goes_on(book):
    with recorded("ines", "round", "Larch"):
        with recorded("ines", "set", "paper"):
            if not Setting.objects.filter(key="paper").update(value="a4"):
                raise Unchanged
        Setting.objects.create(key="zone", value="UTC")
    assert list(Event.objects.values_list("verb", flat=True)) == ["round"]
    assert Setting.objects.filter(key="zone").exists()


def test_what_a_deed_was_about_may_be_known_after_its_write_only(book):
    with recorded("ines", "set", data={"value": 1}) as event:
        event.about(Setting.objects.create(key="paper", value="a4").pk)
    assert Event.objects.get().data == {"value": 1}
    with recorded("ines", "set") as event:
        event.about(7, {"people": 3})
    last = Event.objects.first()
    assert (last.subject, last.data) == ("7", {"people": 3})


def test_a_subject_and_an_actor_are_cut_to_what_their_columns_hold(book):
    event = write_event("i" * 90, "set", "s" * 130)
    event.refresh_from_db()
    assert (len(event.actor), len(event.subject), event.data) == (80, 120, {})
