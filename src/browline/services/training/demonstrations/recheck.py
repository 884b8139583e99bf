"""Records that met the rules when they came and no longer do, since an earlier one came into the book after them.

Nothing is changed by itself: the educator is asked which stands. The question is an event; a later event answers it,
and it falls away where the record is amended, withdrawn or meets the rules again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from browline import display
from browline.errors import InputRefused, NotUnderstood, Refusal
from browline.services.book.clock import local_day, ward_zone
from browline.services.training.demonstrations import rules
from browline.services.training.demonstrations.reading import OUTCOME_WORDS, chain
from browline.store.event_log import write_event
from browline.store.models import Demonstration, Event

ASKED, ANSWERED = "demonstration-clash", "demonstration-clash-answered"


def ask_again(people: Iterable[int], since: datetime, *, actor: str) -> None:
    """Ask the rules of what stands of these people from `since` on; call after a write, inside its transaction."""
    for record in Demonstration.objects.in_force().filter(person__in=set(people), time__gte=since):
        refusal = breach(record)
        earlier = _before(record)
        if refusal and earlier and not _open_already(record, earlier):
            _ask(record, earlier, refusal, actor)


def breach(record: Demonstration) -> Refusal | None:
    """The first rule of tries that a record which stands does not meet, as the book is now."""
    besides, day = tuple(link.pk for link in chain(record)), local_day(record.time)
    checklist = rules.find_checklist(record.checklist_id)
    try:
        rules.refuse_wrong_turn(
            rules.following(record.person_id, record.time, checklist, besides), day, record.second_id
        )
    except Refusal as refusal:
        return refusal
    return None


@dataclass(frozen=True)
class Clash:
    """A question that is open: the event that asks it, the `record` that no longer goes, and the `earlier` one."""

    event: Event
    record: Demonstration
    earlier: Demonstration

    @property
    def pk(self) -> int:
        """The number by which it is answered."""
        return self.event.pk

    @property
    def data(self) -> dict[str, str]:
        """What `came`, what was `wanted`, what to `do`."""
        data: dict[str, str] = self.event.data
        return data


def clashes() -> list[Clash]:
    """The questions that are open, latest first."""
    answered = set(Event.objects.filter(verb=ANSWERED).values_list("subject", flat=True))
    open_ = []
    for event in Event.objects.filter(verb=ASKED):
        stands = Demonstration.objects.in_force().filter(pk=event.data["record"]).first()
        earlier = _before(stands) if stands and str(event.pk) not in answered else None
        if stands and earlier and _first(earlier) == event.data["earlier"] and breach(stands):
            open_.append(Clash(event, stands, earlier))
    return open_


def let_stand(number: int, reason: str, *, actor: str) -> None:
    """Answer that both records stand, and why; the records stay as they are."""
    if not reason.strip():
        raise NotUnderstood(
            "No reason was given.", "Whoever reads both later will ask.", "Say why both stand."
        )
    with transaction.atomic():
        # Locked, so that of two answers one is written.
        Event.objects.select_for_update().filter(pk=number, verb=ASKED).first()
        if number not in [event.pk for event in clashes()]:
            raise InputRefused(
                "This is no longer asked.", "It was answered meanwhile.", "Look at the list again."
            )
        write_event(actor, ANSWERED, number, {"reason": reason.strip()[:200]})


def _before(record: Demonstration) -> Demonstration | None:
    """The record of this person before this one, of those that stand."""
    same = [link.pk for link in chain(record)]
    before = Demonstration.objects.in_force().filter(person=record.person_id, time__lt=record.time)
    return before.exclude(pk__in=same).last()


def _first(record: Demonstration) -> int:
    """The number of the first record of its chain: an amendment of words asks nothing anew."""
    return int(chain(record)[0].pk)


def _open_already(record: Demonstration, earlier: Demonstration) -> bool:
    same = {"record": record.pk, "earlier": _first(earlier)}
    questions = Event.objects.filter(verb=ASKED, subject=str(record.key))
    return any({name: event.data[name] for name in same} == same for event in questions)


def _ask(record: Demonstration, earlier: Demonstration, refusal: Refusal, actor: str) -> None:
    came = f"{_observation_words(record)} An earlier one came into the book after it: {_observation_words(earlier)}"
    do = "Ask both assessors. Amend or withdraw the one that is wrong; where both are right, say why both stand."
    data = {"record": record.pk, "earlier": _first(earlier), "came": came, "wanted": refusal.wanted, "do": do}
    write_event(actor, ASKED, str(record.key), data)


def _observation_words(record: Demonstration) -> str:
    time = record.time.astimezone(ward_zone())
    outcome = OUTCOME_WORDS[record.outcome]
    when = f"{display.day(time)} at {display.time_of_day(time)}"
    return f"{outcome.capitalize()} on {when}, observed by {record.assessor.shown}."
