"""The drawing of the band: every reading beside where the core was when it was taken, and the core now.

One row a reading, in the order typed, and one for now. Lengths are in units of the drawing, `WIDTH` wide.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

from browline import display
from browline.quantities.sites import SITE_NAMES
from browline.questioned.problem import Problem, Reading
from browline.questioned.result import Core, Result

WIDTH, ROW, EDGE, TOP = 360, 44, 14, 26


@dataclass(frozen=True)
class Row:
    """One row: its words, the band of the core from `start` on, `wide`, its middle, where the reading lies if any."""

    says: str
    y: float
    start: float
    wide: float
    middle: float
    reading_x: float | None = None
    misled: bool = False


@dataclass(frozen=True)
class Line:
    """An upright line, with the words at its head."""

    x: float
    says: str
    anchor: str = "middle"


@dataclass(frozen=True)
class Drawing:
    """Everything that is drawn; `says` is what it shows in a sentence."""

    height: float
    rows: tuple[Row, ...]
    lines: tuple[Line, ...]
    ticks: tuple[Line, ...]
    says: str
    width: int = WIDTH
    edge: int = EDGE
    right: int = WIDTH - EDGE

    @property
    def floor(self) -> float:
        """Where the axis lies."""
        return self.height - 20

    @property
    def under(self) -> float:
        """Where the numbers of the axis stand."""
        return self.height - 5


@dataclass(frozen=True)
class Scale:
    """From °C to the drawing."""

    low_c: float
    high_c: float

    def x(self, value_c: float) -> float:
        """Where a temperature lies."""
        share = (value_c - self.low_c) / (self.high_c - self.low_c)
        return round(EDGE + share * (WIDTH - 2 * EDGE), 1)


def drawing(problem: Problem, result: Result, unit: str) -> Drawing:
    """The band of an answer; `unit` is the one shown."""
    scale = _scale(problem, result)
    rows = tuple(_rows(problem, result, scale, unit))
    return Drawing(
        height=TOP + ROW * len(rows) + 24,
        rows=rows,
        lines=tuple(_lines(problem, scale, unit)),
        ticks=tuple(_ticks(scale, unit)),
        says=f"{len(problem.readings)} reading{'s' * (len(problem.readings) != 1)} beside where the core was when "
        f"each was taken, and the core now, {_band(result.now, unit)}.",
    )


def _scale(problem: Problem, result: Result) -> Scale:
    cores = [result.now, *(misled.core for misled in result.misled)]
    values = [r.value_c for r in problem.readings]
    least = min(*(core.low_c for core in cores), *values, problem.fever_c - 0.5)
    most = max(*(core.high_c for core in cores), *values, problem.fever_c + 0.5)
    return Scale(floor(2 * least) / 2, ceil(2 * most) / 2)


def _rows(problem: Problem, result: Result, scale: Scale, unit: str) -> Iterator[Row]:
    for k, (reading, misled) in enumerate(zip(problem.readings, result.misled, strict=True)):
        yield _row(
            k, _named(reading, unit), misled.core, scale, scale.x(reading.value_c), misled.chance >= 0.5
        )
    yield _row(len(problem.readings), f"Core now: {_band(result.now, unit)}", result.now, scale)


def _row(
    k: int, says: str, core: Core, scale: Scale, position: float | None = None, misled: bool = False
) -> Row:
    start = scale.x(core.low_c)
    wide = round(scale.x(core.high_c) - start, 1)
    return Row(
        says=says,
        y=TOP + ROW * k,
        start=start,
        wide=wide,
        middle=scale.x(core.mean_c),
        reading_x=position,
        misled=misled,
    )


def _named(reading: Reading, unit: str) -> str:
    when = f"{reading.minutes_ago:g} min ago" if reading.minutes_ago else "now"
    parts = (SITE_NAMES[reading.site].capitalize(), reading.instrument, when)
    return f"{display.temperature(reading.value_c, unit)} · {', '.join(part for part in parts if part)}"


def _lines(problem: Problem, scale: Scale, unit: str) -> Iterator[Line]:
    yield Line(scale.x(problem.fever_c), f"fever {display.temperature(problem.fever_c, unit)}")
    if scale.low_c <= problem.low_c:
        yield Line(scale.x(problem.low_c), f"low {display.temperature(problem.low_c, unit)}")


def _ticks(scale: Scale, unit: str) -> Iterator[Line]:
    step = 1 if scale.high_c - scale.low_c <= 7 else 2
    for value in range(ceil(scale.low_c), floor(scale.high_c) + 1, step):
        yield Line(scale.x(value), f"{display.in_unit(float(value), unit):.{int(unit == 'F')}f}")


def _band(core: Core, unit: str) -> str:
    return f"{display.temperature(core.low_c, unit)} to {display.temperature(core.high_c, unit)}"
