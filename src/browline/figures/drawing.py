"""From an Altair chart to an SVG that may stand inline on a page.

The drawing program labels every mark for screen readers and uses ids that clash when two drawings share a
page. Here one drawing becomes one picture: role, title and description on the outside, quiet inside, ids its
own, and no style attribute, because the pages refuse inline styles.
"""

import hashlib
import json
import re
from functools import lru_cache
from typing import TYPE_CHECKING, overload
from xml.etree import ElementTree as ET

from browline.figures.ink import CONFIG
from browline.figures.typeface import register

if TYPE_CHECKING:
    import altair as alt

# A page asked again shows the same drawings; one takes 20 to 30 ms and about 50 kB.
DRAWINGS = 200
SVG = "http://www.w3.org/2000/svg"
NOISE = re.compile(r"^(aria-|role$|class$|style$|pointer-events$)")
NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
REFERENCE = re.compile(r"url\(#([^)]+)\)")


def draw(chart: "alt.TopLevelMixin", title: str, sentence: str) -> str:
    """The chart (an Altair chart) as an accessible, self-standing SVG."""
    specification = writable(chart.configure(**CONFIG).to_dict(validate=False))
    return _drawn(json.dumps(specification), writable(title), writable(sentence))


@lru_cache(maxsize=DRAWINGS)
def _drawn(specification: str, title: str, sentence: str) -> str:
    import vl_convert

    register()
    return settle(vl_convert.vegalite_to_svg(specification, vl_version="5.20"), title, sentence)


@overload
def writable(value: str) -> str: ...
@overload
def writable(value: dict[str, object]) -> dict[str, object]: ...
@overload
def writable(value: object) -> object: ...
def writable(value: object) -> object:
    """The same texts without characters no XML may hold: one of them in a name aborts the drawing program."""
    if isinstance(value, str):
        return NOT_XML.sub(" ", value)
    if isinstance(value, dict):
        return {writable(key): writable(part) for key, part in value.items()}
    return [writable(part) for part in value] if isinstance(value, list) else value


def settle(svg: str, title: str, sentence: str) -> str:
    """The SVG as one picture: its own ids, a title, a description, presentation attributes only."""
    ET.register_namespace("", SVG)
    root = ET.fromstring(svg)
    prefix = "f" + hashlib.blake2b((title + svg).encode(), digest_size=5).hexdigest()
    for element in root.iter():
        _strip(element)
        _prefix_ids(element, prefix)
    _describe(root, prefix, title, sentence)
    return ET.tostring(root, encoding="unicode")


def _strip(element: ET.Element) -> None:
    """Inline styles become presentation attributes; labels of single marks go."""
    for declaration in element.attrib.get("style", "").split(";"):
        name, _, value = declaration.partition(":")
        if value.strip():
            element.set(name.strip(), value.strip())
    for name in [name for name in element.attrib if NOISE.match(name)]:
        del element.attrib[name]


def _prefix_ids(element: ET.Element, prefix: str) -> None:
    for name, value in element.attrib.items():
        if name == "id":
            element.set(name, f"{prefix}-{value}")
        elif "url(#" in value:
            element.set(name, REFERENCE.sub(rf"url(#{prefix}-\1)", value))


def _describe(root: ET.Element, prefix: str, title: str, sentence: str) -> None:
    described = ET.Element(f"{{{SVG}}}desc", {"id": f"{prefix}-desc"})
    described.text = sentence
    named = ET.Element(f"{{{SVG}}}title", {"id": f"{prefix}-title"})
    named.text = title
    root.insert(0, described)
    root.insert(0, named)
    root.set("role", "img")
    root.set("aria-labelledby", f"{prefix}-title")
    root.set("aria-describedby", f"{prefix}-desc")
