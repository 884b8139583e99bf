"""Who is meant: people by identifier or name, and entries not on the list matched to the person they are.

An entry that was matched is remembered by its event, so that the same text means the same person from then on.
"""

from collections.abc import Iterable

from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef

from browline.errors import InputRefused
from browline.intake import match_person
from browline.intake.roster.names import plain_name
from browline.services.training.sessions.striking import strike_all
from browline.store.attended import follow
from browline.store.event_log import Unchanged, recorded
from browline.store.keys import pseudonym, read_key
from browline.store.matched import MATCHED, known_as, matched_to
from browline.store.models import (
    Absence,
    AssessorStanding,
    Attendance,
    Champion,
    Pass,
    Person,
    Setting,
    Shift,
    SignIn,
)

# Records that stay with whom they were made for, or by.
LOCKED = ("demonstrations", "observed", "seconded", "second_scores")
# Rows of a person that go over to another.
Owned = Attendance | Shift | Absence | Champion | AssessorStanding | Pass


def person_meant(text: str) -> Person | None:
    """The person of this identifier (lost leading zeros forgiven), or the only listed one of this name; else None.

    Refuses a name that several listed people bear, also where an entry of that name was matched to one of them.
    """
    person = _identified(text)
    if person is not None and person.listed:
        return person
    bearers = called(text)
    if len(bearers) > 1:
        raise InputRefused(
            f"{len(bearers)} people of the list may be meant by {text!r}: {by_identifier(bearers)}.",
            "A name says who is meant only where one person has it.",
            "Give the staff identifier.",
        )
    return matched_to(person.identifier if person else text) or person or next(iter(bearers), None)


def called(text: str) -> list[Person]:
    """Listed people who bear this name, or to whom an entry of this name was matched."""
    return list(Person.objects.listed().filter(pk__in=known_as().get(plain_name(text), ())))


def by_identifier(people: Iterable[Person]) -> str:
    """People by identifier and ward.

    >>> from types import SimpleNamespace as Somebody
    >>> told_apart([Somebody(identifier="S1004", ward="Maple"), Somebody(identifier="S1009", ward="")])
    'S1004 (Maple), S1009'
    """
    return ", ".join(f"{p.identifier} ({p.ward})" if p.ward else str(p.identifier) for p in people)


def unlisted(text: str, name: str = "") -> Person:
    """A new person, seen but on no list yet."""
    key = read_key(str(Setting.objects.get(key="book-id").value))
    return Person.objects.create(
        identifier=text[:120], name=name[:120], pseudonym=pseudonym(key, "person", text[:120]), listed=False
    )


def unmatched() -> list[Person]:
    """People on no list who signed in or stand in a roster: each waits to be matched, or to be put on the list.

    Somebody whose every sign-in was struck waits for nothing.
    """
    came = Exists(SignIn.objects.not_struck().filter(person=OuterRef("pk")))
    rostered = Exists(Shift.objects.filter(person=OuterRef("pk")))
    return list(Person.objects.unlisted().filter(came | rostered))


def namesakes(entries: Iterable[Person]) -> dict[int, str]:
    """Number of an entry -> the listed people of its name, by identifier and ward; those without any left out."""
    known, listed = known_as(), Person.objects.listed().in_bulk()
    same_names = {e.pk: sorted(known.get(plain_name(e.shown), ())) for e in entries}
    return {
        e: by_identifier(listed[n] for n in same if n in listed) for e, same in same_names.items() if same
    }


def nobody(unlisted_entry: int, reason: str, *, actor: str) -> int:
    """Say that an entry on no list was nobody: its sign-ins are struck, with the reason. Returns how many were."""
    entry = Person.objects.unlisted().filter(pk=unlisted_entry).first()
    if entry is None or entry.shifts.exists():
        raise InputRefused(
            "This is somebody: on the list of people, or in a roster.",
            "Only an entry that signed in and is on neither can have been nobody.",
            "Open the page again and look.",
        )
    return strike_all(unlisted_entry, reason, actor=actor)


def match(unlisted_entry: int, person: int, *, actor: str) -> None:
    """Say that an entry on no list is this listed person: sign-ins, attendances and shifts go over, none twice."""
    with transaction.atomic():
        entry = Person.objects.unlisted().filter(pk=unlisted_entry).first()
        target = Person.objects.listed().filter(pk=person).first()
        if entry is None or target is None:
            raise InputRefused(
                "These two cannot be matched.",
                "One is an entry on no list, the other a person of the list.",
                "Open the page again and choose.",
            )
        if any(getattr(entry, locked).exists() for locked in LOCKED):
            raise InputRefused(
                f"{entry.shown} has a record of an observed return demonstration.",
                "Such a record is locked to whom it was made for.",
                "Put this entry on the list instead.",
            )
        with recorded(actor, MATCHED, entry.identifier, {"entry": unlisted_entry, "into": person}):
            _move(entry, target)


def put_on_list(unlisted_entry: int, *, actor: str, **entries: str) -> None:
    """Put an entry on the list as a person of its own, with `name`, `role` and `ward` where given."""
    values = {k: v.strip() for k, v in entries.items() if k in ("name", "role", "ward") and v.strip()}
    with recorded(actor, "person-listed", unlisted_entry, values):
        if not Person.objects.unlisted().filter(pk=unlisted_entry).update(**values, listed=True):
            raise Unchanged


def put_rostered_on_list(*, actor: str) -> int:
    """Put everybody of the roster on the list, where the roster is the list of staff; returns how many came on."""
    with recorded(actor, "person-listed", "the roster") as event:
        rostered = Person.objects.unlisted().rostered().values("pk")
        done = Person.objects.filter(pk__in=rostered).update(listed=True)
        if not done:
            raise Unchanged
        event.about("the roster", {"people": done})
    return done


def _identified(text: str) -> Person | None:
    """The person of this identifier, on the list or not; else of the one that it is but for lost leading zeros."""
    exact = Person.objects.filter(identifier=text).first()
    for listed in (True, False) if exact is None else ():
        known = Person.objects.filter(listed=listed)
        name, repair = match_person(text, tuple(known.values_list("identifier", flat=True)))
        if repair == "leading-zeros":
            return known.get(identifier=name)
    return exact


def _move(entry: Person, target: Person) -> None:
    for sign_in in entry.sign_ins.select_related("session"):
        same = target.sign_ins.filter(session=sign_in.session, how=sign_in.how).first()
        if same is None:
            entry.sign_ins.filter(pk=sign_in.pk).update(person=target)
        else:
            if same.struck and not sign_in.struck:
                target.sign_ins.filter(pk=same.pk).update(struck="")
            sign_in.delete()
    moments = set(entry.attendances.values_list("time", flat=True))
    theirs: tuple[Iterable[Owned], ...] = (
        entry.attendances.all(),
        entry.shifts.all(),
        entry.absences.all(),
        entry.championships.all(),
        entry.standings.all(),
        entry.passes.all(),
    )
    for records in theirs:
        _hand_over(records, target)
    for moment in moments:
        follow(moment, [target.pk])


def _hand_over(records: Iterable[Owned], target: Person) -> None:
    """Give each record to `target`; one that the target has already goes."""
    for record in records:
        try:
            with transaction.atomic():
                record.person = target
                record.save(update_fields=["person"])
        except IntegrityError:
            type(record).objects.filter(pk=record.pk).delete()
