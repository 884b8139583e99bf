"""A ward's wall clock as instants: stretches of constant offset, so that SQL needs only a CASE.

Twice a year an hour is passed twice or not at all. The repeated hour is taken as its first pass (a repair);
a time in the skipped hour never happened (a reason).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from browline.errors import NotUnderstood

Mark = Literal["plain", "repeated", "skipped"]


@dataclass(frozen=True)
class Stretch:
    """Wall-clock times from `start` up to but not including `until` lie `offset` minutes east of UTC.

    `mark` "repeated": the hour was passed twice, `offset` is that of the first pass and `second_offset` that
    of the second. "skipped": the clocks jumped over it; `offset` is the one before the jump.
    """

    start: datetime
    until: datetime
    offset: int
    mark: Mark = "plain"
    second_offset: int | None = None


def zone_stretches(zone: str, first: datetime, last: datetime) -> tuple[Stretch, ...]:
    """The stretches that cover every wall-clock time from `first` to `last` (naive), in order, without gaps.

    Raises NotUnderstood where `zone` is not in the IANA list.

    >>> stretches = zone_stretches("Europe/London", datetime(2026, 3, 1), datetime(2026, 4, 1))
    >>> [(s.start.day, s.offset, s.mark) for s in stretches]
    [(1, 0, 'plain'), (29, 0, 'skipped'), (29, 60, 'plain')]
    """
    tz = _zone(zone)
    until = last + timedelta(microseconds=1)
    stretches = []
    start, offset = first, _offset(tz, first.replace(tzinfo=UTC) - timedelta(days=2))
    for change, after in _changes(tz, first - timedelta(days=2), last + timedelta(days=2)):
        low, high = sorted((change + timedelta(minutes=offset), change + timedelta(minutes=after)))
        stretches.append(Stretch(start, low, offset))
        if after < offset:
            stretches.append(
                Stretch(start=low, until=high, offset=offset, mark="repeated", second_offset=after)
            )
        else:
            stretches.append(Stretch(low, high, offset, "skipped"))
        start, offset = high, after
    stretches.append(Stretch(start, until, offset))
    return tuple(_within(stretches, first, until))


def _zone(zone: str) -> ZoneInfo:
    try:
        return ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as fault:
        raise NotUnderstood(
            f"The time zone “{zone}” is not known.",
            "A name of the IANA list is wanted.",
            "Write, for example, Europe/London.",
        ) from fault


def _offset(tz: ZoneInfo, instant: datetime) -> int:
    """Minutes east of UTC at an aware instant."""
    shift = instant.astimezone(tz).utcoffset()
    return 0 if shift is None else round(shift.total_seconds() / 60)


def _changes(tz: ZoneInfo, first: datetime, last: datetime) -> Iterator[tuple[datetime, int]]:
    """Each instant (naive UTC) at which the offset changes, with the offset after it: day by day, then halved."""
    low = first.replace(tzinfo=UTC)
    end = last.replace(tzinfo=UTC)
    before = _offset(tz, low)
    while low < end:
        high = low + timedelta(days=1)
        after = _offset(tz, high)
        if after != before:
            yield _change(tz, low, high, before).replace(tzinfo=None), after
        low, before = high, after


def _change(tz: ZoneInfo, low: datetime, high: datetime, before: int) -> datetime:
    """The whole minute at which the offset stops being `before`, by halving [low, high]."""
    low = low.replace(second=0, microsecond=0)
    while high - low > timedelta(minutes=1):
        middle = low + (high - low) / 2
        middle = middle.replace(second=0, microsecond=0)
        low, high = (middle, high) if _offset(tz, middle) == before else (low, middle)
    return high.replace(second=0, microsecond=0)


def _within(stretches: list[Stretch], first: datetime, until: datetime) -> Iterator[Stretch]:
    for s in stretches:
        start, end = max(s.start, first), min(s.until, until)
        if start < end:
            yield Stretch(start=start, until=end, offset=s.offset, mark=s.mark, second_offset=s.second_offset)
