"""A round of instruments: what was seen is kept, a lens cleaned on it is a cleaning, the review needs no re-keying.

A record may arrive twice, from a phone that lost its network, and is kept once: the key of each line is made from
the round's key and what the line says. Lines may arrive in any order: what stands is told by their times.
"""

import uuid
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field, fields
from datetime import datetime, timedelta

from django.db import transaction

from browline import display
from browline.columns import MODES
from browline.errors import InputRefused, NotUnderstood
from browline.instruments import BATTERIES, LENSES, STATES, look_alikes, same_name
from browline.store.event_log import recorded
from browline.store.models import Cleaning, Instrument, Sighting

PHONE, SHEET = "phone", "sheet"
AHEAD = timedelta(minutes=10)
LONGEST_NAME = 80

WORDS = {
    "state": STATES,
    "lens": ("", *LENSES),
    "mode": ("", *MODES),
    "unit": ("", "C", "F"),
    "battery": ("", *BATTERIES),
}


@dataclass(frozen=True)
class Line:
    """What a round found of one instrument; empty: not looked at. The words are those of `WORDS`."""

    instrument: str
    state: str
    lens: str = ""
    mode: str = ""
    unit: str = ""
    battery: str = ""


@dataclass(frozen=True)
class Round:
    """One walk of a ward: its lines, when, and whether they come from a phone or were keyed from the sheet.

    `key` is made where the round is filled in, once.
    """

    ward: str
    time: datetime
    lines: tuple[Line, ...]
    how: str = PHONE
    key: uuid.UUID = field(default_factory=uuid.uuid4)


@dataclass(frozen=True)
class Recorded:
    """What came of a round: lines kept and already here, lenses cleaned, names that the register does not have.

    `alike`: for a name not in the register, those it could be a slip for.
    """

    kept: int
    already_here: int
    cleaned: int
    unlisted: tuple[str, ...] = ()
    alike: tuple[tuple[str, tuple[str, ...]], ...] = ()


def record_round(walked: Round, *, actor: str, now: datetime) -> Recorded:
    """Keep a round in one transaction; the same round sent again adds nothing."""
    _check(walked, now)
    with transaction.atomic():
        names = list(Instrument.objects.values_list("name", flat=True))
        lines = {_key(walked, line): line for line in _named(walked.lines, names)}
        here = set(Sighting.objects.filter(key__in=lines).values_list("key", flat=True))
        new = {key: line for key, line in lines.items() if key not in here}
        if not new:
            return Recorded(0, len(lines), 0)
        unlisted = tuple(sorted({line.instrument for line in new.values()} - set(names)))
        cleaned = sum(line.lens == "cleaned" for line in new.values())
        data = {"kept": len(new), "cleaned": cleaned, "unlisted": list(unlisted), "how": walked.how}
        with recorded(actor, "round", walked.ward, data):
            for key, line in new.items():
                _keep(key, line, walked, actor)
    alike = ((name, look_alikes(name, names)) for name in unlisted)
    return Recorded(
        kept=len(new),
        already_here=len(lines) - len(new),
        cleaned=cleaned,
        unlisted=unlisted,
        alike=tuple((n, seen) for n, seen in alike if seen),
    )


def said(recorded: Recorded) -> str:
    """What came of a round, in words."""
    if not recorded.kept:
        return "This round is already in the book."
    parts = [f"{recorded.kept} {'instrument' if recorded.kept == 1 else 'instruments'} kept."]
    if recorded.already_here:
        parts.append(f"{recorded.already_here} were here already.")
    if recorded.cleaned:
        parts.append(f"{recorded.cleaned} cleaned {'lens' if recorded.cleaned == 1 else 'lenses'} noted.")
    if recorded.unlisted:
        parts.append(f"Not in the register: {', '.join(recorded.unlisted)}.")
    parts += [f"{name} looks like {' or '.join(others)}." for name, others in recorded.alike]
    return " ".join(parts)


def _check(walked: Round, now: datetime) -> None:
    if not walked.lines:
        raise InputRefused(
            "Nothing was ticked.", "A round says of each instrument what was found.", "Tick at least one."
        )
    if walked.time > now + AHEAD:
        raise InputRefused(
            f"The round is dated {display.moment(walked.time)}, which is still to come.",
            "A round is entered after it was walked.",
            "Look at the date, and at this phone’s clock.",
        )
    for line in walked.lines:
        _check_line(line)


def _check_line(line: Line) -> None:
    name = line.instrument.strip()
    if not name or len(name) > LONGEST_NAME:
        raise InputRefused(
            "A line names no instrument, or has too long a name.",
            f"A name has up to {LONGEST_NAME} letters, as on the label.",
            "Write what stands on its label.",
        )
    if not line.state:
        raise InputRefused(
            f"{name} was looked at, but not said to be here or in use.",
            "A round says of each instrument whether it is here, in use or not found.",
            "Choose one of the three.",
        )
    for what, allowed in WORDS.items():
        if getattr(line, what) not in allowed:
            raise NotUnderstood(
                f"{name}: {what} cannot be {getattr(line, what)!r}.",
                f"It is one of {', '.join(word for word in allowed if word)}.",
                "Choose one.",
            )
    if line.state == "not-located" and any((line.lens, line.mode, line.unit, line.battery)):
        raise InputRefused(
            f"{name} was not found, but something was seen of it.",
            "Only an instrument that was found can be looked at.",
            "Choose here or in use, or leave out what was seen.",
        )


def _named(lines: Iterable[Line], names: Sequence[str]) -> list[Line]:
    """The lines with each name as the register writes it, where it differs by case or blanks alone."""
    return [Line(**{**asdict(line), "instrument": same_name(line.instrument, names)}) for line in lines]


def _key(walked: Round, line: Line) -> uuid.UUID:
    """One and the same for the same line of the same round, however often it comes.

    A time counts where it was stated; one worked out from a phone's clock differs by seconds each time it is sent.
    """
    stated = walked.time.isoformat() if walked.how == SHEET else ""
    told = [stated, walked.ward, *(str(getattr(line, f.name)) for f in fields(line))]
    return uuid.uuid5(walked.key, "\n".join(told))


def _keep(key: uuid.UUID, line: Line, walked: Round, actor: str) -> None:
    instrument, _ = Instrument.objects.get_or_create(name=line.instrument, defaults={"listed": False})
    looked = {name: getattr(line, name) for name in WORDS}
    time = _moment(instrument, walked.time, looked, actor)
    Sighting.objects.create(
        key=key, instrument=instrument, time=time, ward=walked.ward, how=walked.how, actor=actor, **looked
    )
    if line.lens == "cleaned":
        Cleaning.objects.get_or_create(instrument=instrument, time=time, part="lens", defaults={"agent": ""})


def _moment(instrument: Instrument, time: datetime, looked: dict[str, str], actor: str) -> datetime:
    """The time of the round; a second later where the same person said something else of the same moment.

    So a slip of the pen is put right by entering the line again: the correction stands after what it corrects.
    """
    while Sighting.objects.filter(instrument=instrument, time=time, actor=actor).exclude(**looked).exists():
        time += timedelta(seconds=1)
    return time
