"""Sessions: planned, moved, cancelled, held, and how long people can sign in to them.

Every deed is one transaction with its event; a deed on a session that somebody else changed meanwhile is
refused.
"""

import secrets
from datetime import datetime, timedelta

from django.db import transaction

from browline.errors import InputRefused, NotUnderstood
from browline.services.book.clock import YEARS
from browline.store.attended import adopt
from browline.store.event_log import recorded
from browline.store.models import Session, SignIn

# No vowels, so that no word comes up; none of the signs taken for one another (0 O, 1 I L, 2 Z, 5 S, 8 B, U V).
ALPHABET = "CDFGHJKMNPQRTWXY34679"
CODE_LENGTH = 6
OPENS_BEFORE = timedelta(minutes=30)
STAYS_OPEN = timedelta(hours=2)
LONGEST_MINUTES = 12 * 60


def new_code() -> str:
    """A code for signing in to a session: six signs that cannot be mistaken for others, drawn anew (21⁶)."""
    return "".join(secrets.choice(ALPHABET) for _ in range(CODE_LENGTH))


def plan_session(
    time: datetime, *, minutes: int = 20, ward: str = "", educator: str = "", note: str = "", actor: str
) -> Session:
    """Plan a session at an aware `time`, and return it; its code lets phones sign in while it is open."""
    _sensible(time, minutes)
    with recorded(actor, "session-planned", data=_event_data(time, minutes, ward)) as event:
        session = Session.objects.create(
            time=time,
            minutes=minutes,
            ward=ward.strip(),
            educator=educator.strip(),
            note=note.strip(),
            code=_unused_code(),
        )
        event.about(session.pk)
        adopt(session)
    return session


def move(number: int, time: datetime, *, minutes: int, ward: str, read: datetime, actor: str) -> None:
    """Move a planned session that stood at `read`; refused once people have signed in, or if it moved meanwhile."""
    _sensible(time, minutes)
    with recorded(actor, "session-moved", number, _event_data(time, minutes, ward)):
        if SignIn.objects.filter(session=number, struck="").exists():
            raise InputRefused(
                "People have signed in to this session.",
                "A session that has begun stays where it was, or their record would change.",
                "Mark it as held, and plan another.",
            )
        planned = Session.objects.planned().filter(pk=number, time=read)
        _refuse_unchanged(planned.update(time=time, minutes=minutes, ward=ward.strip(), open_until=None))


def cancel(number: int, reason: str, actor: str) -> None:
    """Cancel a planned session to which nobody has signed in."""
    with recorded(actor, "session-cancelled", number, {"reason": reason.strip()[:200]}):
        if SignIn.objects.filter(session=number, struck="").exists():
            raise InputRefused(
                "People have signed in to this session.",
                "Only a session nobody came to can be cancelled.",
                "Mark it as held; strike the names of those who were not there.",
            )
        _refuse_unchanged(Session.objects.planned().filter(pk=number).update(state=Session.CANCELLED))


def mark_done(number: int, actor: str, *, now: datetime) -> None:
    """Mark a planned session as held; refused before it begins."""
    with recorded(actor, "session-held", number):
        if Session.objects.filter(pk=number, time__gt=now).exists():
            raise InputRefused(
                "This session has not begun.",
                "It is held when people have been taught.",
                "Mark it afterwards; if it took place earlier, move it first.",
            )
        _refuse_unchanged(Session.objects.planned().filter(pk=number).update(state=Session.HELD))


def take_back_done(number: int, actor: str) -> None:
    """Take back that a session was held: it is planned again; who signed in stays."""
    with recorded(actor, "session-not-held", number):
        _refuse_unchanged(Session.objects.filter(pk=number, state=Session.HELD).update(state=Session.PLANNED))


def open_again(number: int, until: datetime, actor: str, *, now: datetime) -> None:
    """Let people sign in from `now` until another moment than the usual one; a moment gone by closes it.

    Said before the usual time has begun, it takes nothing away from that.
    """
    with transaction.atomic():
        session = Session.objects.select_for_update().not_cancelled().filter(pk=number).first()
        if session is not None and now < _usual(session)[0] <= until:
            until = max(until, _usual(session)[1])
        with recorded(actor, "session-open-until", number, {"until": until.isoformat()}):
            _refuse_unchanged(Session.objects.not_cancelled().filter(pk=number).update(open_until=until))


def window(session: Session) -> tuple[datetime, datetime]:
    """When people can sign in on the day: half an hour before to two hours after, unless set otherwise."""
    start, end = _usual(session)
    until = session.open_until
    return start, until if until is not None and until >= start else end


def is_open(session: Session, now: datetime) -> bool:
    """Whether people can sign in at `now`: on the day, or after it was opened, until the moment that was set."""
    start, end = window(session)
    opened = session.open_until is not None and now <= session.open_until
    return session.state != session.CANCELLED and (opened or start <= now <= end)


def closing(session: Session, now: datetime) -> datetime:
    """When it closes, or last closed: on the day, or at the moment that was set for a while before it."""
    if session.open_until is not None and now < _usual(session)[0]:
        return session.open_until
    return window(session)[1]


def _usual(session: Session) -> tuple[datetime, datetime]:
    return session.time - OPENS_BEFORE, session.time + timedelta(minutes=session.minutes) + STAYS_OPEN


def _unused_code() -> str:
    code = new_code()
    while Session.objects.filter(code=code).exists():
        code = new_code()
    return code


def _sensible(time: datetime, minutes: int) -> None:
    if time.year not in YEARS:
        raise NotUnderstood(
            f"A session in the year {time.year} was asked for.",
            f"Its year is one from {YEARS[0]} to {YEARS[-1]}.",
            "Look at the year.",
        )
    if not 1 <= minutes <= LONGEST_MINUTES:
        raise NotUnderstood(
            f"A session of {minutes} minutes was asked for.",
            "It lasts from 1 minute to 12 hours.",
            "Mend it.",
        )


def _refuse_unchanged(changed: int) -> None:
    if changed != 1:
        raise InputRefused(
            "This session was changed in the meantime.",
            "It is no longer as the page showed it.",
            "Open its page again and look.",
        )


def _event_data(time: datetime, minutes: int, ward: str) -> dict[str, str | int]:
    return {"time": time.isoformat(), "minutes": minutes, "ward": ward}
