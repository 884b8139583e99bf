"""Somebody typed in on a phone who is on no list: the record waits until they are matched, and stays theirs."""

import invented_demonstrations as cast
from browline.services.training.demonstrations.pending import receive, take, waiting
from browline.services.training.sessions.matching import match, unlisted
from browline.store.models import Demonstration
from invented_demonstrations import MONDAY, who


def test_a_record_of_somebody_on_no_list_follows_them_when_they_are_matched(book):
    from test_demonstrating_waiting import sent

    cast.a_ward()
    seen = unlisted("A-99")
    payload = sent(person=None, person_typed="A-99")
    assert receive(payload, bearer=who("omar"), actor="assessor omar", now=MONDAY).waiting
    match(seen.pk, who("ana"), actor="Ines")
    take(waiting()[0].pk, {}, "", actor="educator", now=MONDAY)
    assert Demonstration.objects.get().person.identifier == "ana"
