"""Signing in to a session: on a phone by its code, on paper keyed in later; and matching names not on the list.

Attendance says that somebody was there, never that they are able; see `browline.store.attended` for how it
follows from the sign-ins.
"""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction

from browline.errors import InputRefused, NotUnderstood, Refusal
from browline.services.training.sessions import closing, is_open
from browline.services.training.sessions.matching import person_meant, unlisted
from browline.store.attended import follow
from browline.store.event_log import Unchanged, recorded
from browline.store.models import Person, Session, SignIn

# A phone without network sends what was filled in while the session was open up to a day later.
LATEST = timedelta(days=1)
MOST_UNKNOWN = 60
IDENTIFIER = re.compile(r"[\w][\w .,'’/-]{0,59}")


@dataclass(frozen=True)
class SignedIn:
    """What came of it: who, whether the list has them, whether it was struck before, whether they are `new` here."""

    person: Person
    on_the_list: bool
    struck: bool = False
    new: bool = True


@dataclass(frozen=True)
class Keyed:
    """What came of a paper sheet: who was taken, and each line that was not, with the reason."""

    done: tuple[SignedIn, ...]
    refused: tuple[tuple[str, str], ...]


def find_session(code: str) -> Session | None:
    """The session of a code however it was typed, or None."""
    plain = re.sub(r"[\s-]", "", code).upper()
    return Session.objects.filter(code=plain).first() if plain else None


def may_sign_in(session: Session, now: datetime, filled_in: datetime | None = None) -> bool:
    """Whether a phone may sign in `now`, or could when the form was `filled_in` without a network."""
    if is_open(session, now):
        return True
    ends = closing(session, now)
    return filled_in is not None and is_open(session, filled_in) and ends < now <= ends + LATEST


def sign_in(session: Session, identifier: str, how: str, *, actor: str) -> SignedIn:
    """Write down that this person is at the session; said again the same way, it changes nothing."""
    with transaction.atomic():
        person = _person(session, identifier, how)
        already = SignIn.objects.not_struck().filter(session=session, person=person).exists()
        with recorded(actor, "signed-in", session.pk, {"person": person.pk, "how": how}):
            row, new = SignIn.objects.get_or_create(
                session=session, person=person, how=how, defaults={"actor": actor[:80]}
            )
            if not new:
                raise Unchanged
        follow(session.time, [person.pk])
    return SignedIn(person, person.listed, bool(row.struck), not already)


def key_in(session: Session, identifiers: list[str], *, actor: str) -> Keyed:
    """Key a paper sheet in, in one transaction; a line that cannot be taken comes back with its reason."""
    done, refused = list[SignedIn](), list[tuple[str, str]]()
    with transaction.atomic():
        for text in filter(str.strip, identifiers):
            try:
                done.append(sign_in(session, text, SignIn.PAPER, actor=actor))
            except Refusal as refusal:
                refused.append((text, str(refusal)))
    return Keyed(tuple(done), tuple(refused))


def _person(session: Session, identifier: str, how: str) -> Person:
    """The person meant, by identifier, else by a name that one person has; else somebody new, not on the list."""
    text = " ".join(identifier.split())
    if not IDENTIFIER.fullmatch(text):
        raise NotUnderstood(
            "That is no staff identifier.",
            "It has letters and digits, 60 at most.",
            "Type it as on your badge.",
        )
    person = _meant(text, how)
    if person is not None:
        return person
    unknown = SignIn.objects.filter(session=session, how=SignIn.PHONE, person__listed=False)
    if how == SignIn.PHONE and unknown.count() >= MOST_UNKNOWN:
        raise InputRefused(
            f"{MOST_UNKNOWN} identifiers that are on no list have signed in to this session.",
            "More are not taken by phone.",
            "Sign on paper, or tell the educator.",
        )
    return unlisted(text)


def _meant(text: str, how: str) -> Person | None:
    """Who of the book is meant. A phone that gives a name of several is told of none: the entry waits."""
    try:
        return person_meant(text)
    except InputRefused:
        if how == SignIn.PAPER:
            raise
    return Person.objects.filter(identifier=text).first()
