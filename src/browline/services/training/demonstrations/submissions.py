"""What a phone sent, read as an observation: plain fields of a form, as the outbox puts them away.

`person` (a number, or empty with `person_typed`, an identifier), `assessor`, `second`, `checklist`, `at`, `sent`,
`method`, `ward`, `instrument`, one `step-<id>` for each marked step, `taught_steps` (ids), `taught` (a few words).
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from uuid import UUID

from browline import display
from browline.errors import InputRefused, NotUnderstood
from browline.services.book.clock import YEARS
from browline.services.training.demonstrations import Observation
from browline.services.training.demonstrations.rules import find_checklist
from browline.services.training.sessions.matching import person_meant

STEP = "step-"
TAUGHT_WORDS, TAUGHT_MOST = 200, 400
DAY = timedelta(days=1)
LARGEST_NUMBER = 2**63 - 1
# The clock of a phone that is further off than this dates a record wrongly.
CLOCK_OFF = timedelta(minutes=10)
# A pass lives a month at most, so no phone has an older record of its own.
OLDEST = timedelta(days=32)


def read(payload: Mapping[str, object], now: datetime) -> Observation:
    """The observation that a phone's record holds.

    Raises a `Refusal` where a field cannot be read, somebody typed in is not known, or the phone's clock is off.
    """
    time = moment(payload.get("at"), now)
    _refuse_clock(payload, time, now)
    checklist = _number(payload, "checklist")
    return Observation(
        key=submission_key(payload),
        person=_person(payload),
        assessor=_number(payload, "assessor"),
        second=_number(payload, "second") if payload.get("second") else None,
        checklist=checklist,
        time=time,
        steps=marks(payload),
        method=_text(payload, "method"),
        ward=_text(payload, "ward")[:80],
        instrument=_text(payload, "instrument")[:80],
        taught=taught(payload, checklist),
    )


def submission_key(payload: Mapping[str, object]) -> UUID:
    """The key made on the phone."""
    try:
        return UUID(str(payload.get("key")))
    except ValueError as fault:
        raise NotUnderstood(
            "The record has no key.", "The phone makes one for each.", "Open the page again."
        ) from fault


def moment(text: object, now: datetime) -> datetime:
    """An ISO 8601 time with its offset, between the year 2000 and tomorrow."""
    time: datetime | None
    try:
        time = datetime.fromisoformat(str(text))
    except ValueError:
        time = None
    if time is None or time.tzinfo is None:
        raise NotUnderstood(
            "The record does not say when it was seen.",
            "A time with its offset from UTC is needed.",
            "Enter the time it was seen, and take it.",
        )
    # The year first: moments at either end of the calendar have no time in another zone.
    if time.year < YEARS[0] or time.year > now.year + 1 or time > now + DAY:
        raise InputRefused(
            f"The record is dated {display.day(time)}, {display.time_of_day(time)}.",
            "A demonstration is recorded after it was seen, and since 2000.",
            "The clock of the phone may be wrong: enter the time it was seen, and take it.",
        )
    return time


def marks(payload: Mapping[str, object]) -> dict[str, str]:
    """The marks of the steps that were marked."""
    return {name.removeprefix(STEP): str(mark) for name, mark in payload.items() if name.startswith(STEP)}


def taught(payload: Mapping[str, object], checklist: int) -> str:
    """What was taught: the short names of steps from the closed list, then a few words."""
    listed = payload.get("taught_steps") or []
    chosen = {
        step_id for step_id in (listed if isinstance(listed, list) else [listed]) if isinstance(step_id, str)
    }
    names = [step.name for step in find_checklist(checklist).steps if step.id in chosen]
    words = " ".join(_text(payload, "taught").split())[:TAUGHT_WORDS]
    return ". ".join(filter(None, ("; ".join(names)[: TAUGHT_MOST - TAUGHT_WORDS - 2], words)))


def _refuse_clock(payload: Mapping[str, object], time: datetime, now: datetime) -> None:
    if "sent" not in payload:
        return
    off = moment(payload["sent"], now) - now
    if abs(off) > CLOCK_OFF:
        minutes = round(abs(off) / timedelta(minutes=1))
        raise InputRefused(
            f"The clock of this phone is {minutes} minutes {'ahead' if off > timedelta(0) else 'behind'}.",
            "A record carries the time it was seen, and this one’s may be wrong.",
            "Enter the time it was seen, take it, and have the phone’s clock put right.",
        )
    if time < now - OLDEST:
        raise InputRefused(
            f"This record was seen on {display.day(time)}, more than a month ago.",
            "A phone keeps a record for days, not months.",
            "Ask when it was seen, enter that time, and take it.",
        )


def _person(payload: Mapping[str, object]) -> int:
    if payload.get("person"):
        return _number(payload, "person")
    typed = _text(payload, "person_typed")[:120]
    person = person_meant(typed) if typed else None
    # A record is locked: had it been written for an entry on no list, matching that entry would leave it behind.
    if person is None or not person.listed:
        raise InputRefused(
            f"Nobody on the staff list is called {typed!r}."
            if typed
            else "The record does not say who was observed.",
            "A record is about somebody on the staff list.",
            "Put the person on the staff list under this identifier, or say here who it was; then take it.",
        )
    return int(person.pk)


def _number(payload: Mapping[str, object], name: str) -> int:
    number = row_number(payload.get(name))
    if number is None:
        raise NotUnderstood(f"The record does not say the {name}.", "It has to.", "Say it here, and take it.")
    return number


def row_number(value: object) -> int | None:
    """The number of a row of the book, 1 to 2⁶³−1; None where this is none."""
    try:
        number = int(value)  # type: ignore[call-overload]
    except (TypeError, ValueError, OverflowError):
        return None
    return number if 1 <= number <= LARGEST_NUMBER else None


def _text(payload: Mapping[str, object], name: str) -> str:
    return str(payload.get(name) or "").strip()
