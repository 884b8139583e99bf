"""The hospital's clock: instants in hours, and the ward's own wall clock with both clock changes.

Everything happens in instants (hours since 1970-01-01 00:00 UTC); the wall clock appears only where people
plan by it (rounds, shifts, the daily rhythm) and where the export writes it.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np

from browline.synthetic.arrays import Floats, Ints, Texts

HOURS_BEFORE = 24 * 60
"""How far before the first day the table of offsets begins: stays begin before the export does."""


@dataclass(frozen=True)
class Clock:
    """`zone`: IANA name; the export runs over `days` days from `first_day` on the ward's wall clock."""

    zone: str
    first_day: date
    days: int

    @cached_property
    def origin(self) -> float:
        """Wall-clock hours since 1970 at 00:00 of the first day."""
        return float((self.first_day - date(1970, 1, 1)).days * 24)

    @cached_property
    def offsets(self) -> Floats:
        """Hours ahead of UTC for each hour from `HOURS_BEFORE` before the first day on."""
        zone = ZoneInfo(self.zone)
        begin = datetime.fromtimestamp((self.origin - HOURS_BEFORE) * 3600, tz=UTC)
        hours = range(HOURS_BEFORE + self.days * 24 + 24 * 60)
        ahead = [(begin + timedelta(hours=h)).astimezone(zone).utcoffset() for h in hours]
        return np.array([(a or timedelta()).total_seconds() / 3600 for a in ahead])

    def _ahead(self, instant: Floats) -> Floats:
        # Outside the table only dates are asked for (employed from, in use from), so its ends will do.
        hour = np.floor(instant - self.origin + HOURS_BEFORE).astype(np.int64)
        return self.offsets[np.clip(hour, 0, len(self.offsets) - 1)]

    def wall(self, instant: Floats) -> Floats:
        """Wall-clock hours since 1970 of instants."""
        return instant + self._ahead(instant)

    def instant(self, wall: Floats) -> Floats:
        """Instants of planned wall-clock hours; a time that the clock change skips moves with the clock."""
        return wall - self._ahead(wall - 1.0)

    def hour(self, instant: Floats) -> Floats:
        """Hour of the ward's own day, in [0, 24)."""
        return self.wall(instant) % 24.0

    def day(self, instant: Floats) -> Ints:
        """Number of the ward's own day, 0 for the first day of the export."""
        return np.floor((self.wall(instant) - self.origin) / 24.0).astype(np.int64)

    def month(self, instant: Floats) -> Ints:
        """Calendar months since January 1970 on the wall clock."""
        days = np.floor(self.wall(instant) / 24.0).astype(np.int64).astype("datetime64[D]")
        return days.astype("datetime64[M]").astype(np.int64)

    @property
    def span(self) -> tuple[float, float]:
        """First and last instant of the export."""
        ends = self.instant(np.array([self.origin, self.origin + 24.0 * self.days]))
        return float(ends[0]), float(ends[1])

    def moment(self, proportion: float) -> float:
        """The instant at a `share` (0 to 1) of the export."""
        first, last = self.span
        return first + proportion * (last - first)

    def written(self, instant: Floats) -> Texts:
        """Wall-clock text ``YYYY-MM-DD HH:MM`` of instants, as a ward's system writes it."""
        minutes = np.floor(self.wall(instant) * 60.0 + 0.5).astype(np.int64)
        days, minute = np.divmod(minutes, 1440)
        out: Texts = dates(days) + _MINUTES[minute]
        return out

    def written_day(self, instant: Floats) -> Texts:
        """Date text ``YYYY-MM-DD`` of instants on the wall clock."""
        return dates(np.floor(self.wall(instant) / 24.0).astype(np.int64))


def dates(days: Ints) -> Texts:
    """ISO dates of day numbers since 1970-01-01, each string built once."""
    if len(days) == 0:
        return np.empty(0, dtype=object)
    low = int(days.min())
    known = np.array(
        [str(d) for d in np.arange(low, int(days.max()) + 1).astype("datetime64[D]")], dtype=object
    )
    out: Texts = known[days - low]
    return out


_MINUTES: Texts = np.array([f" {m // 60:02d}:{m % 60:02d}" for m in range(1440)], dtype=object)
