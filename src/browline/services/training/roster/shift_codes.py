"""What the codes of rosters stand for, settled once: those in common use, and what the educator says over them."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from django.db.models import Count, Q

from browline.errors import NotUnderstood
from browline.intake.roster.codes import LONGEST_CODE, plain_code
from browline.services.book.preferences import choice, is_zone
from browline.shifts import KINDS, ON_DUTY, USUAL
from browline.store.event_log import recorded
from browline.store.importing.roster import hours
from browline.store.models import Shift, ShiftCode

Code = tuple[str, time | None, time | None]


def codes() -> dict[str, Code]:
    """Every code that is settled: those in common use, and what the educator said over them."""
    stored = ShiftCode.objects.values_list("code", "kind", "start", "end")
    return {**USUAL, **{code: (kind, start, end) for code, kind, start, end in stored}}


def settle(code: str, kind: str, start: time | None, end: time | None, *, today: date, actor: str) -> int:
    """Say what a code stands for, once; turns that bear it become that. Returns how many did.

    Hours that a roster gave beside the code stay, and turns before `today` stay as they were worked.
    """
    plain = plain_code(code)[:LONGEST_CODE]
    if not plain or kind not in KINDS:
        raise NotUnderstood(
            f"{code!r} cannot stand for {kind!r}.",
            f"A code stands for one of: {', '.join(KINDS)}.",
            "Choose one.",
        )
    if kind in ON_DUTY and (start is None or end is None or start == end):
        raise NotUnderstood(
            f"{plain} is a turn of duty without its hours.",
            "It begins and ends at some time.",
            "Fill both in.",
        )
    start, end = (start, end) if kind in ON_DUTY else (None, None)
    meaning = {
        "kind": kind,
        "start": start and start.isoformat("minutes"),
        "end": end and end.isoformat("minutes"),
    }
    before = codes().get(plain, ("", None, None))
    with recorded(actor, "shift-code", plain, meaning):
        ShiftCode.objects.update_or_create(code=plain, defaults={"kind": kind, "start": start, "end": end})
        worked = Q(date__lt=today, start__isnull=False)
        turns = list(Shift.objects.filter(code=plain).exclude(worked).select_related("source"))
        for turn in turns:
            given = turn.start is not None and (turn.start, turn.end) != _hours(turn, *before[1:])
            turn.kind = kind
            if not given or kind not in ON_DUTY:
                turn.start, turn.end = _hours(turn, start, end)
        Shift.objects.bulk_update(turns, ["kind", "start", "end"], batch_size=500)
    return len(turns)


def unsettled() -> list[tuple[str, int]]:
    """Codes of the book's roster that nobody has settled, and how many turns bear each, most first."""
    counts = Shift.objects.filter(kind="").values_list("code").annotate(n=Count("pk")).order_by("-n", "code")
    return list(counts)


def _hours(turn: Shift, start: time | None, end: time | None) -> tuple[datetime | None, datetime | None]:
    """The instants of a turn by the clock that its roster was read with."""
    return hours(turn.date, start, end, choose_zone(turn.source.zone if turn.source else None))


def choose_zone(zone: str | None) -> ZoneInfo:
    """The zone said, else that of the book, else UTC; refuses what is no zone."""
    named = zone or choice("zone") or "UTC"
    if not is_zone(named):
        raise NotUnderstood(
            f"{named!r} is not a time zone.", "Zones look like Europe/London.", "Mend --zone."
        )
    return ZoneInfo(named)
