"""What stands where in a drawing: texts and marks with their places on the page."""

import re
from dataclasses import dataclass
from itertools import combinations
from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"
LETTER, LINE = 5.2, 10.0
ANCHORS = {"start": 0.5, "middle": 0.0, "end": -0.5}


@dataclass(frozen=True)
class Written:
    """A text, the middle of its line, and about half its size, in pixels."""

    text: str
    x: float
    y: float
    half: float

    def over(self, other):
        """Whether the two texts would be printed over each other."""
        return abs(self.x - other.x) < self.half + other.half and abs(self.y - other.y) < LINE


def _elements(svg):
    """Every element with its place, translations of its groups added up."""
    open_ = [(ET.fromstring(svg), 0.0, 0.0)]
    while open_:
        element, x, y = open_.pop()
        moved = re.match(r"translate\((-?[\d.]+)[, ]\s*(-?[\d.]+)\)", element.get("transform", ""))
        if moved:
            x, y = x + float(moved[1]), y + float(moved[2])
        yield element, x, y
        open_.extend((child, x, y) for child in element)


def written(svg):
    """All texts of a drawing."""
    found = []
    for element, x, y in _elements(svg):
        lines = [line.strip() for line in element.itertext() if line.strip()]
        if element.tag == f"{SVG}text" and lines:
            wide = LETTER * max(map(len, lines))
            middle = x + ANCHORS[element.get("text-anchor", "start")] * wide
            found.append(Written(" ".join(lines), middle, y, wide / 2))
    return found


def texts(svg):
    return [w.text for w in written(svg)]


def printed_over(svg):
    """Pairs of texts printed over each other."""
    return [(a.text, b.text) for a, b in combinations(written(svg), 2) if a.over(b)]


def marks(svg, **wanted):
    """Places of drawn paths with these attributes, from left to right."""
    return sorted(
        (x, y)
        for e, x, y in _elements(svg)
        if e.tag == f"{SVG}path" and e.get("transform") and all(e.get(k) == v for k, v in wanted.items())
    )


def upright_lines(svg, stroke):
    """Upright lines of a colour as (x, top, bottom)."""
    for element, x, y in _elements(svg):
        if (
            element.tag == f"{SVG}line"
            and element.get("stroke") == stroke
            and float(element.get("x2", 0)) == 0
        ):
            ends = y, y + float(element.get("y2", 0))
            yield x, min(ends), max(ends)


def strict(svg):
    """Whether the drawing may stand inline on a page that refuses styles and scripts, as one named picture."""
    root = ET.fromstring(svg)
    named = {e.get("id"): e.text for e in root.iter() if e.get("id")}
    quiet = all(e.tag not in (f"{SVG}style", f"{SVG}script", f"{SVG}foreignObject") for e in root.iter())
    plain = not any(n == "style" or n.startswith("on") for e in root.iter() for n in e.attrib)
    return quiet and plain and root.get("role") == "img" and bool(named.get(root.get("aria-labelledby")))
