"""What is put into people's hands for one visit: the sheet to sign and the sheet for a round of instruments.

    sign_in_sheet(session, expected, now) -> SignInSheet        round_sheet(ward, now) -> RoundSheet

Both are data; `browline.paper` sets them. Paper counts as much as a phone: each has lines to write on.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypedDict

from django.utils import timezone

from browline.services.book.preferences import choice
from browline.store.models import Instrument, Session


@dataclass(frozen=True)
class Expected:
    """Somebody whom the roster expects on the ward at that time; `note` says the shift, or anything that helps."""

    name: str
    role: str = ""
    note: str = ""


@dataclass(frozen=True)
class SignInSheet:
    """A sheet to sign. Empty texts and a `time` of None are left as lines to write on.

    `code` and `address` (where a phone signs in, in full) are printed where phones may be used; `qr` is the
    picture of that address as SVG text, left out where empty.
    """

    made: datetime
    ward: str = ""
    time: datetime | None = None
    minutes: int | None = None
    educator: str = ""
    code: str = ""
    address: str = ""
    qr: str = ""
    expected: tuple[Expected, ...] = ()
    hospital: str = ""
    paper: str = "a4"


@dataclass(frozen=True)
class RoundLine:
    """One instrument of a round as the register has it; `due`: when its lens is next to be cleaned."""

    instrument: str
    ward: str = ""
    mode: str = ""
    unit: str = ""
    due: date | None = None


@dataclass(frozen=True)
class RoundSheet:
    """A round to walk: the instruments that should be there, and lines for others. `ward` empty: every ward."""

    made: datetime
    ward: str = ""
    lines: tuple[RoundLine, ...] = ()
    hospital: str = ""
    paper: str = "a4"


class Letterhead(TypedDict):
    """What stands on every sheet: whose it is, and on what paper."""

    hospital: str
    paper: str


def sign_in_sheet(
    session: Session, expected: Iterable[Expected], now: datetime, *, address: str = "", qr: str = ""
) -> SignInSheet:
    """The sheet of a session; its `time` should be in the hospital's zone, as it is to be printed."""
    return SignInSheet(
        made=now,
        ward=session.ward,
        time=timezone.localtime(session.time),
        minutes=session.minutes,
        educator=session.educator,
        code=session.code,
        address=address,
        qr=qr,
        expected=tuple(expected),
        **_letterhead(),
    )


def blank_sign_in_sheet(now: datetime) -> SignInSheet:
    """A sheet for a session that nobody planned: everything is written by hand."""
    return SignInSheet(made=now, **_letterhead())


def round_sheet(ward: str, now: datetime) -> RoundSheet:
    """The instruments of one home ward that are in service on that day; of every ward where `ward` is empty."""
    today = now.date()
    instruments = Instrument.objects.listed().lasting(today).order_by("ward", "name")
    lines = [
        RoundLine(i.name, i.ward, i.mode, i.unit)
        for i in (instruments.filter(ward=ward) if ward else instruments)
    ]
    return RoundSheet(made=now, ward=ward, lines=tuple(lines), **_letterhead())


def _letterhead() -> Letterhead:
    return {"hospital": choice("hospital"), "paper": choice("paper")}
