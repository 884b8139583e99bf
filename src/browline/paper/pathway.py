"""The pathway for a questioned reading on one side of paper: escalation first, boxes to tick in order of steps."""

from pathlib import Path

from browline.materials.pathway import Line, Part
from browline.materials.pathway_lines import TRADE
from browline.paper.hand_out import controlled
from browline.paper.pdf import write_typeset
from browline.services.materials.handouts.cards import HandedOut
from browline.services.questioned.pathway import Pathway, of_handed

ABOUT = (
    "What to do when a temperature is doubted: who is escalated now, the order of steps, waits, other routes."
)
STAR = "*"
STARRED = "* as the instructions of the instrument say"


def write_pathway(handed: HandedOut, path: Path | str) -> Path:
    """Write the pathway to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("pathway.typ", pathway_laid_out(handed), handed.made, Path(path))


def pathway_laid_out(handed: HandedOut) -> dict[str, object]:
    """The pathway as nested dicts of texts; sources other than common practice are numbered as they come."""
    pathway = of_handed(handed)
    sources = cited_sources(pathway)
    parts = {part.name: _part(part, sources) for part in pathway.parts}
    return {
        **controlled(handed, ABOUT),
        "first": pathway.first,
        "escalate": _part(pathway.escalate, sources) if pathway.escalate else None,
        "parts": parts,
        "charting": pathway.charting,
        "call": pathway.call,
        "decides": pathway.decides,
        "sources": sources,
        "unnumbered": f"Without a number: {TRADE}.",
        "starred": STARRED,
    }


def cited_sources(pathway: Pathway) -> list[str]:
    """Each source once, in the order of reading."""
    parts = (*([pathway.escalate] if pathway.escalate else []), *pathway.parts)
    named = (line.source for part in parts for line in part.lines)
    return list(dict.fromkeys(source for source in named if source != TRADE))


def _part(part: Part, sources: list[str]) -> dict[str, object]:
    return {"title": part.title, "lines": [_line(line, sources) for line in part.lines]}


def _line(line: Line, sources: list[str]) -> dict[str, str]:
    number = "" if line.source == TRADE else str(1 + sources.index(line.source))
    return {"says": line.says + (STAR if line.by_instructions else ""), "number": number}
