"""How a rule is written down as a row, and whose word it stands on."""

from typing import Any

from browline.quantities.sites import WAYS
from browline.site_choice.rule import Kind

_IN_RULES = {way.name: way.in_rules for way in WAYS}

TRADE = "common practice, no source"
TAUGHT = "taught, no source found"
OWN = "own judgement, no source"
NICE = "NICE NG143, recommendations 1.1.1 to 1.1.6"
CRITICAL_CARE = "critical-care fever guideline, Crit Care Med 2023;51:1570 (secondary source)"
POOLED = (
    "Geijer 2016 (37 studies, 5,026 patients): temporal minus reference {d -0.19} on average, single readings from "
    "{d -1.16} to {d 0.77}; it finds 72 of 100 fevers and is right about 94 of 100 without."
)
ICU = (
    "Stelfox 2010 (14 intensive-care patients, 736 pairs), temporal minus bladder: {d 0.66} in hypothermia, {d -0.90} "
    "in fever; it found 26 of 100 fevers of {38.3}."
)
SWEAT = (
    "Low 2007 (16 people heated): after 30 minutes the gut had risen by {d 0.39} while the temporal reading had "
    "fallen by {d 0.22}."
)
NO_FIGURE = "No published figure was found."


def row(
    id: str,
    kind: Kind,
    says: str,
    *,
    why: str,
    priority: float,
    when: tuple[str, ...] = (),
    sites: tuple[str, ...] = (),
    source: str = TRADE,
    published: str = NO_FIGURE,
) -> dict[str, Any]:
    """A row of the document; always, and about every site, unless said otherwise."""
    return {
        "id": id,
        "kind": kind,
        "when": list(when),
        "sites": [_IN_RULES[site] for site in sites],
        "says": says,
        "why": why,
        "priority": priority,
        "source": source,
        "published": published,
    }
