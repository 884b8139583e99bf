"""What to do when a reading is questioned: the pathway of the hospital, in the order in which it is read.

Reasons to escalate stand before everything else, whatever order the rows were entered in. `check` refuses a
pathway that lost a line nobody may be without, by its name, part and words, and a few phrases that hold escalation
back. It does not know what a sentence means: most edits that would do harm pass it. Whoever approves is therefore
shown every changed line beside the old one (`browline.services.materials.documents.changes_to_approve`), and judges.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from browline.controlled import Field, Layout
from browline.errors import NotUnderstood
from browline.materials.pathway_lines import LINES, TRADE

# Printed whatever the document says.
CHART = "Chart every reading with its site in the patient record; this is not the record."

PARTS: dict[str, str] = {
    "escalate": "Escalate now, whatever the number",
    "safer": "Until it is settled",
    "order": "In this order",
    "wait": "Waits",
    "second": "Second instrument",
    "route": "Another route: the first that fits",
    "tolerance": "How far apart",
    "chart": "Chart",
}
LAYOUT = Layout(
    kind="questioned-reading-pathway",
    title="Pathway for a questioned reading",
    row="line",
    head=(Field("call", "Whom to call", help="An extension or a role. Empty: left out."),),
    fields=(
        Field("id", "Name", needed=True, help="One short word; it names the line in the history."),
        Field("part", "Part of the pathway", "choice", needed=True, choices=PARTS),
        Field(
            "says",
            "What it says",
            "long",
            needed=True,
            help="Write {38.0} for a temperature and {d 0.5} for a difference: both units are then shown.",
        ),
        Field("source", "On whose word", needed=True),
        Field("by_instructions", "Depends on the instrument's instructions", "tick"),
    ),
)


@dataclass(frozen=True)
class RequiredLine:
    """A line that no pathway may be without: the part it stands in, words to know it by, what it is to say."""

    part: str
    words: str
    meaning: str


REQUIRED: dict[str, RequiredLine] = {
    "ill": RequiredLine(
        "escalate", r"\b(ill|unwell)\b.*(worr|concern)", "looks ill or somebody is worried: escalate"
    ),
    "early-warning": RequiredLine("escalate", r"early.warning|trigger", "an early-warning trigger: escalate"),
    "immune": RequiredLine("escalate", r"neutropeni.*\bimmun", "neutropenia or immune suppression: escalate"),
    "infant": RequiredLine(
        "escalate", r"\b(under|below|younger than) (3|three) months", "under 3 months: escalate"
    ),
    "surgery": RequiredLine("escalate", r"surg|operation", "recent surgery: escalate"),
    "safer": RequiredLine(
        "safer",
        r"safer.*\b(high or low|low or high)\b",
        "the safer reading, high or low, is acted on until settled",
    ),
    "no-delay": RequiredLine("safer", r"never delays care", "a repeat never delays care"),
    "chart": RequiredLine("chart", r"\bsite\b", "every reading is charted with its site"),
}
# A few phrases that hold escalation back: they catch a slip, not the same thing said in other words.
HOLDS_BACK = re.compile(
    r"\b(no need to|need not|not necessary to|do not|don.t|never|without|instead of|rather than|before) escalat"
    r"|\bescalat\w* (only|unless|is not)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Line:
    """One line of the pathway, with the word it rests on."""

    id: str
    says: str
    source: str
    by_instructions: bool = False


@dataclass(frozen=True)
class Part:
    """The lines of one part, under its title."""

    name: str
    title: str
    lines: tuple[Line, ...]


def default() -> dict[str, Any]:
    """The pathway as it comes with the program: trade practice, and what is published where anything is."""
    return {"head": {"call": ""}, "rows": [_row(*row) for row in LINES]}


def _row(id: str, part: str, says: str, source: str = TRADE, by_instructions: bool = False) -> dict[str, Any]:
    return {"id": id, "part": part, "says": says, "source": source, "by_instructions": by_instructions}


def check(body: Mapping[str, Any]) -> None:
    """Refuse a pathway without a line that must be there, or with one of the phrases; what passes may still do harm."""
    rows = {row["id"]: row for row in body["rows"]}
    for id, required in REQUIRED.items():
        row = rows.get(id)
        if row is None or row["part"] != required.part or not _has_words(required.words, row["says"]):
            raise NotUnderstood(
                f"The pathway would no longer say, as line {id!r}: {required.meaning}.",
                f"It has to stand under “{PARTS[required.part]}”.",
                "Put it back; other words may stand beside it.",
            )
    _refuse_holding_back(row["says"] for row in body["rows"])


def _has_words(words: str, text: str) -> bool:
    return re.search(words, text, re.IGNORECASE | re.DOTALL) is not None


def _refuse_holding_back(texts: Iterable[str]) -> None:
    for text in texts:
        if HOLDS_BACK.search(text):
            raise NotUnderstood(
                f"“{text}” can be read as leave not to escalate.",
                "Nothing in a pathway may put escalation off.",
                "Say what is done as well, or leave the line out.",
            )


def pathway_parts(body: Mapping[str, Any]) -> tuple[Part, ...]:
    """The parts in which there are lines, in the order in which they are read: escalation first.

    >>> pathway_parts(default())[0].lines[1].id
    'early-warning'
    """
    parts = (Part(name, title, _lines(body["rows"], name)) for name, title in PARTS.items())
    return tuple(part for part in parts if part.lines)


def _lines(rows: Iterable[Mapping[str, Any]], part: str) -> tuple[Line, ...]:
    return tuple(
        Line(row["id"], row["says"], row["source"], row["by_instructions"])
        for row in rows
        if row["part"] == part
    )
