"""Visits as a calendar file (iCalendar, RFC 5545): where and when, and how many are expected; nobody's name.

Calendars are shared and copied on, so what stands in them is what may stand on a wall.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from uuid import NAMESPACE_OID, uuid5

import icalendar

from browline import display
from browline.services.training.visit_plan.plan_view import Shown
from browline.services.training.visit_plan.visits import ShownVisit, Stands

STATUS = {Stands.PROPOSED: "TENTATIVE", Stands.CANCELLED: "CANCELLED"}
PRODUCT = "-//browline//session plan//EN"


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


class _Text(icalendar.vText):
    """A TEXT value (RFC 5545, 3.3.11) in which a backslash before N stays; the library alone makes it a line break."""

    def to_ical(self) -> bytes:
        return rb"\\N".join(icalendar.vText(part).to_ical() for part in self.split(r"\N"))


def calendar(entries: Sequence[Entry], created: datetime) -> bytes:
    """The file. `created` is when what it says was true.

    >>> calendar([], datetime(2026, 3, 7, 9, tzinfo=UTC)).decode().splitlines()[0]
    'BEGIN:VCALENDAR'
    """
    whole = icalendar.Calendar()
    whole.add("version", "2.0")
    whole.add("prodid", PRODUCT)
    whole.add("calscale", "GREGORIAN")
    whole.add("method", "PUBLISH")
    for entry in entries:
        whole.add_component(_event(entry, created))
    written: bytes = whole.to_ical(sorted=False)
    return written


def _event(entry: Entry, created: datetime) -> icalendar.Event:
    """Times in UTC (3.3.5, form 2), which need no description of a time zone."""
    event = icalendar.Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", created.astimezone(UTC))
    event.add("dtstart", entry.start.astimezone(UTC))
    event.add("dtend", (entry.start + timedelta(minutes=entry.minutes)).astimezone(UTC))
    event.add("status", entry.status)
    event.add("sequence", entry.sequence)
    event.add("summary", _printable(entry.summary))
    event.add("location", _printable(entry.place))
    event.add("description", _printable(entry.description))
    return event


def _printable(value: str) -> _Text:
    """Without the control characters that 3.1 forbids in a line; a tab and a line break may stand."""
    return _Text(
        "".join(sign for sign in value if sign in "\t\r\n" or (ord(sign) >= 32 and ord(sign) != 127))
    )


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
