"""The choices of a book."""

import pytest
from django.utils.html import escape

from browline.services.book import preferences

IN_FORCE = {
    "hospital": "Fenwick Vale",
    "zone": "Europe/London",
    "show_unit": "F",
    "tolerance_c": "0.4",
    "false_share": "0.1",
    "fever_c": "38.0",
    "low_c": "35.0",
    "reference_site": "oral",
    "paper": "us-letter",
    "owner": "the thermometry educator",
    "decision": "",
    "clean_days": "14",
    "locate_days": "7",
}


def text(answer):
    return " ".join(answer.content.decode().split())


def test_every_choice_is_there_with_its_meaning(ines):
    page = text(ines.get("/choices/"))
    for key, known in preferences.CHOICES.items():
        assert f'name="{key}"' in page, key
        assert escape(known.meaning[1:]) in page, key


def test_choices_are_set_with_their_actor(ines):
    from browline.store.models import Event

    assert "Set." in text(ines.post("/choices/", IN_FORCE, follow=True))
    assert preferences.choice("tolerance_c") == 0.4
    assert preferences.choice("show_unit") == "F"
    assert "Fenwick Vale" in text(ines.get("/"))
    assert {e.actor for e in Event.objects.filter(verb="set")} == {"educator"}


def test_what_did_not_change_leaves_no_event(ines):
    from browline.store.models import Event

    ines.post("/choices/", IN_FORCE)
    before = Event.objects.count()
    ines.post("/choices/", IN_FORCE)
    assert Event.objects.count() == before


@pytest.mark.parametrize(
    "wrong",
    [{"tolerance_c": "9"}, {"zone": "Larch/Ward"}, {"paper": "a3"}, {"false_share": "0"}, {"fever_c": "36"}],
)
def test_what_makes_no_sense_is_refused(ines, wrong):
    from browline.store.models import Event

    assert ines.post("/choices/", IN_FORCE | wrong).status_code == 422
    assert not Event.objects.filter(verb="set").exists()
