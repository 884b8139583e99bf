"""The fields of a round, as a page posts them and as a phone sends them: flat texts with a row's number in the name."""

import uuid
from collections.abc import Mapping
from datetime import datetime, timedelta

from django import forms

from browline.errors import InputRefused
from browline.services.instruments.rounds import PHONE, SHEET, Line, Round
from browline.web.validators import in_our_years

# Fields of `Line`.
LOOKED = ("state", "lens", "mode", "unit", "battery")
MOST_ROWS = 2000
LONGEST_WAIT = timedelta(days=366)


def posted_round(posted: Mapping[str, object], now: datetime) -> Round:
    """The round that was filled in: rows where nothing was chosen are left out.

    A time that was entered is the sheet's. Otherwise the round was walked just then: now, or as long ago as the phone
    had it waiting.
    """
    texts = {name: text for name, text in posted.items() if isinstance(text, str)}
    if len(posted) > MOST_ROWS * (len(LOOKED) + 1) or len(texts) < len(posted):
        raise InputRefused("This is not a round.", "A round is a flat list of texts.", "Use the page.")
    stated = _stated(texts.get("time", ""))
    return Round(
        ward=texts.get("ward", "")[:80],
        time=stated or now - _waited(texts),
        lines=tuple(_lines(texts)),
        how=SHEET if stated else PHONE,
        key=_key(texts.get("key") or texts.get("made", "")),
    )


def _lines(posted: Mapping[str, str]) -> list[Line]:
    rows = [name.removeprefix("name-") for name in posted if name.startswith("name-")]
    lines = [
        Line(
            instrument=posted[f"name-{row}"], **{field: posted.get(f"{field}-{row}", "") for field in LOOKED}
        )
        for row in rows
    ]
    return [line for line in lines if any(getattr(line, field) for field in LOOKED)]


def _stated(text: str) -> datetime | None:
    if not text.strip():
        return None
    try:
        moment: datetime | None = forms.DateTimeField(validators=[in_our_years]).clean(text)
    except forms.ValidationError as fault:
        raise InputRefused(
            f"{text!r} is not a date and time.",
            "A round has one, of these years.",
            "Write it as on the sheet.",
        ) from fault
    return moment


def _waited(posted: Mapping[str, str]) -> timedelta:
    """How long a phone kept the record: both moments are of its own clock, so that a wrong one does no harm."""
    try:
        waited = datetime.fromisoformat(posted["sent"]) - datetime.fromisoformat(posted["at"])
    except (KeyError, ValueError, TypeError):
        return timedelta()
    if waited > LONGEST_WAIT:
        raise InputRefused(
            "The phone says that this round waited for more than a year.",
            "A round is sent when the network is back.",
            "Look at this phone’s clock, and enter the round again with its date.",
        )
    return max(waited, timedelta())


def _key(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError:
        return uuid.uuid4()
