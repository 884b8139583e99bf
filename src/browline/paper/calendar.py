"""Visits as a calendar file (iCalendar, RFC 5545): where and when, and how many are expected; nobody's name.

Calendars are shared and copied on, so what stands in them is what may stand on a wall.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_OID, uuid5

from browline import display
from browline.services.training.visit_plan.plan_view import Shown
from browline.services.training.visit_plan.visits import ShownVisit, Stands

STATUS = {Stands.PROPOSED: "TENTATIVE", Stands.CANCELLED: "CANCELLED"}
PRODUCT = "-//browline//session plan//EN"
LONGEST_LINE = 75
"""Octets of a line without its break; longer ones are folded (RFC 5545, 3.1)."""


@dataclass(frozen=True)
class Entry:
    """One entry. `uid` is the same for the same visit whenever it is written; `start` is an aware moment.

    `status` as RFC 5545, 3.8.1.11; `sequence` counts its changes (3.8.7.4).
    """

    uid: str
    start: datetime
    minutes: int
    summary: str
    place: str
    description: str
    status: str = "CONFIRMED"
    sequence: int = 0


def calendar(entries: Sequence[Entry], made: datetime) -> bytes:
    """The file. `made` is when what it says was true.

    >>> calendar([], datetime(2026, 3, 7, 9, tzinfo=UTC)).decode().splitlines()[0]
    'BEGIN:VCALENDAR'
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"]
    for entry in entries:
        lines += _event(entry, made)
    lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _event(entry: Entry, made: datetime) -> Iterable[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{text(entry.uid)}"
    yield f"DTSTAMP:{_utc(made)}"
    yield f"DTSTART:{_utc(entry.start)}"
    yield f"DTEND:{_utc(entry.start + timedelta(minutes=entry.minutes))}"
    yield f"STATUS:{entry.status}"
    yield f"SEQUENCE:{entry.sequence}"
    yield f"SUMMARY:{text(entry.summary)}"
    yield f"LOCATION:{text(entry.place)}"
    yield f"DESCRIPTION:{text(entry.description)}"
    yield "END:VEVENT"


def text(value: str) -> str:
    r"""A TEXT value (RFC 5545, 3.3.11): backslash, semicolon, comma and line break escaped, other controls left out.

    >>> text("Larch; bay 2, left")
    'Larch\\; bay 2\\, left'
    """
    escaped = value.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    broken = escaped.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(sign for sign in broken if sign == "\t" or (ord(sign) >= 32 and ord(sign) != 127))


def _utc(moment: datetime) -> str:
    """A date with UTC time (3.3.5, form 2), which needs no description of a time zone."""
    return moment.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")


def _folded(line: str) -> bytes:
    """The line with its break, folded between characters so that none is cut."""
    out, room = bytearray(), LONGEST_LINE
    for sign in line:
        octets = sign.encode()
        if len(octets) > room:
            out += b"\r\n "
            room = LONGEST_LINE - 1
        out += octets
        room -= len(octets)
    return bytes(out) + b"\r\n"


def plan_calendar(plan: Shown) -> bytes:
    """The visits of a session plan."""
    return calendar([_entry(plan, visit) for visit in plan.visits], plan.made)


def _entry(plan: Shown, visit: ShownVisit) -> Entry:
    """One visit; the same session keeps its UID from file to file, so a calendar moves it and makes no double."""
    known_by = f"session {visit.session}" if visit.session else f"visit {visit.key}"
    marked = f" ({visit.stands})" if visit.stands in STATUS else ""
    return Entry(
        uid=f"{uuid5(NAMESPACE_OID, f'{plan.book} {known_by}')}",
        start=visit.time,
        minutes=visit.minutes,
        summary=f"Thermometer teaching, {visit.ward}{marked}",
        place=visit.ward,
        description=_described(visit),
        status=STATUS.get(visit.stands, "CONFIRMED"),
        sequence=visit.changes,
    )


def _described(visit: ShownVisit) -> str:
    if visit.stands == Stands.CANCELLED:
        return "Cancelled."
    if visit.was:
        return f"{visit.minutes} minutes; moved from {visit.was}."
    people = f"about {display.decimal(visit.expected)} of {len(visit.first) + len(visit.again)} called are expected"
    return f"{visit.minutes} minutes, {visit.places} places; {people}."
