"""Names beside marks: each in the nearest free place, so that no name covers a mark or another name."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

LETTER_WIDTH, LINE, MARK = 5.7, 12.0, 5.0
RINGS, TURNS = (9.0, 17.0, 27.0, 39.0, 53.0, 69.0, 87.0), 16
LEADER = 15.0


@dataclass(frozen=True)
class Name:
    """A `text` whose middle stands at (`x`, `y`), in pixels from the top left; `led`: far enough for a line."""

    text: str
    x: float
    y: float
    led: bool

    def edge(self, x: float, y: float) -> tuple[float, float]:
        """The point of its outline next to (`x`, `y`)."""
        half, line = LETTER_WIDTH * len(self.text) / 2, LINE / 2
        return min(max(x, self.x - half), self.x + half), min(max(y, self.y - line), self.y + line)


@dataclass(frozen=True)
class Box:
    """An upright rectangle by its middle and half sizes, in pixels."""

    x: float
    y: float
    half_width: float
    half_height: float

    def over(self, box: "Box") -> float:
        """The area two boxes share."""
        wide = self.half_width + box.half_width - abs(self.x - box.x)
        high = self.half_height + box.half_height - abs(self.y - box.y)
        return max(0.0, wide) * max(0.0, high)


def beside(
    marks: Sequence[tuple[float, float]],
    names: Sequence[str | None],
    width: float,
    height: float,
    taken: Sequence[Box] = (),
) -> tuple[Name | None, ...]:
    """A place for each name: the first free one, ring by ring from its mark, to the right first.

    - `marks`: places in pixels. `names`: a name, or None for a mark without one.
    - `width`, `height`: of the chart, which names stay inside. `taken`: what else must not be covered.

    Where nothing is free, the place that covers least.
    """
    filled = [*taken, *(Box(x, y, MARK, MARK) for x, y in marks)]
    names_by_mark: dict[int, Name] = {}
    # Marks at the edges have the fewest free places, so they choose first.
    order = sorted(range(len(marks)), key=lambda i: min(marks[i][0], width - marks[i][0]))
    for i in order:
        name = names[i]
        if name is None:
            continue
        box = min(_places(marks[i], name, width, height), key=lambda place: _cost(place, marks[i], filled))
        filled.append(box)
        reach = hypot(max(0.0, abs(box.x - marks[i][0]) - box.half_width), box.y - marks[i][1])
        names_by_mark[i] = Name(name, box.x, box.y, reach > LEADER)
    return tuple(names_by_mark.get(i) for i in range(len(marks)))


def _places(mark: tuple[float, float], name: str, width: float, height: float) -> list[Box]:
    """Boxes around the mark inside the chart, nearest ring first."""
    half, line = LETTER_WIDTH * len(name) / 2, LINE / 2
    boxes = []
    for ring in RINGS:
        for turn in range(TURNS):
            angle = 2 * pi * turn / TURNS
            x = mark[0] + cos(angle) * (ring + half * abs(cos(angle)) ** 0.5)
            y = mark[1] - sin(angle) * (ring + line)
            boxes.append(
                Box(min(max(x, half), max(half, width - half)), min(max(y, line), height - line), half, line)
            )
    return boxes


def _cost(place: Box, mark: tuple[float, float], filled: Sequence[Box]) -> float:
    """What it covers counts far more than how far it is; to the right and left a little less than above."""
    far = hypot(max(0.0, abs(place.x - mark[0]) - place.half_width), 1.3 * (place.y - mark[1]))
    return 50.0 * sum(place.over(box) for box in filled) + far + (1.0 if place.x < mark[0] else 0.0)
