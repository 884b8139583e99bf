"""Attendance follows from what is said of a session: the set of its sign-ins, and nothing else.

    attended(person, moment)  ⇔  some sign-in of theirs to a session at that moment is not struck

So phones, sheets and files may arrive in any order and any number of times. Every function here runs inside
the caller's transaction.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from browline.store.models import Attendance, Session, SignIn

ATTENDED = "attended"
Row = dict[str, Any]
Identity = tuple[Any, ...]


def follow(moment: datetime, people: Iterable[int]) -> None:
    """Make the attendances of these people at `moment` what the sign-ins say; without any they stay as they are."""
    people = set(people)
    sign_ins = SignIn.objects.filter(session__time=moment, person__in=people).select_related("session")
    places: dict[int, str] = {}
    for sign_in in sign_ins.not_struck().order_by("-session_id"):
        places[sign_in.person_id] = sign_in.session.ward
    struck = set(sign_ins.values_list("person_id", flat=True)) - set(places)
    Attendance.objects.filter(person__in=struck, time=moment, outcome=ATTENDED).delete()
    for person, ward in places.items():
        Attendance.objects.update_or_create(
            person_id=person, time=moment, outcome=ATTENDED, defaults={"ward": ward}
        )


def adopt(session: Any) -> None:
    """Let attendances that a file brought before the session was planned count as said by a file."""
    attendances = Attendance.objects.filter(time=session.time, outcome=ATTENDED, ward__in=("", session.ward))
    signed_in = SignIn.objects.filter(session__time=session.time).values("person")
    fresh = attendances.exclude(person__in=signed_in)
    SignIn.objects.bulk_create(
        SignIn(session=session, person_id=p, how=SignIn.FILE, actor="a file")
        for p in fresh.values_list("person_id", flat=True)
    )


def say_by_file(rows: Iterable[tuple[int, datetime, str]]) -> None:
    """Note (person, time, ward) rows of an imported table that say somebody attended a session of the book."""
    rows = list(rows)
    for moment in {time for _, time, _ in rows}:
        sessions = list(Session.objects.filter(time=moment).order_by("pk"))
        if not sessions:
            continue
        people = {person: ward for person, time, ward in rows if time == moment}
        for person, ward in people.items():
            session = next((s for s in sessions if s.ward == ward), sessions[0])
            SignIn.objects.get_or_create(
                session=session, person_id=person, how=SignIn.FILE, defaults={"actor": "a file"}
            )
        follow(moment, people)


def known_from_files(attendances: set[Identity]) -> set[Identity]:
    """What a file need not say again: stored `attendances` (identifier, time, outcome), sessions of the book apart.

    At the time of such a session a file has said it where its own sign-in is there, struck or not.
    """
    session_times = set(Session.objects.values_list("time", flat=True))
    sign_ins = SignIn.objects.filter(how=SignIn.FILE).values_list("person__identifier", "session__time")
    elsewhere = {row for row in attendances if row[2] != ATTENDED or row[1] not in session_times}
    return elsewhere | {(identifier, moment, ATTENDED) for identifier, moment in sign_ins}
