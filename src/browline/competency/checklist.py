"""The checklist of a return demonstration: its shape, and the one that comes with the program.

The default is a DRAFT for the educator to make her own. Its steps are what nurses are commonly taught about a
forehead scan; steps that differ from one instrument to another say so, and follow that instrument's instructions.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from math import inf
from typing import Any

from browline.controlled import Field, Layout
from browline.errors import NotUnderstood

# Ends wide enough for any local policy; what lies outside is a slip, and days so far off are not in the calendar.
RULE = partial(Field, type="number", needed=True, whole=True)
TRIES = RULE("tries", "Tries until a second assessor has to be there", least=1, most=10)
RENEWAL = RULE("renewal_months", "Months until it is seen again (local policy)", least=1, most=120)
BETWEEN = RULE("days_between", "Days between two tries (1: another day)", least=0, most=90)

LAYOUT = Layout(
    kind="checklist",
    title="Checklist of the return demonstration",
    row="step",
    head=(
        Field("skill", "Skill", needed=True),
        TRIES,
        RENEWAL,
        BETWEEN,
    ),
    fields=(
        Field(
            "id",
            "Short mark of the step",
            needed=True,
            help="Kept when the words change, so that results add up.",
        ),
        Field("name", "In two or three words", needed=True),
        Field("does", "What the nurse does", "long", needed=True),
        Field("critical", "Critical: not signed off without it", "tick"),
        Field("why", "Why", "long"),
        Field("say", "What a miss looks like, and what to say", "long"),
        Field("depends", "Depends on the instrument’s instructions for use", "tick"),
        Field("source", "Source"),
    ),
)
FOLLOW = "Follow your instrument’s instructions."
COMMON = "common practice, no source"


@dataclass(frozen=True)
class Step:
    """One thing that is watched; `depends`: the instrument's instructions for use come first."""

    id: str
    name: str
    does: str
    critical: bool = False
    why: str = ""
    say: str = ""
    depends: bool = False
    source: str = ""


@dataclass(frozen=True)
class Checklist:
    """One version of the checklist: its steps in order, and the rules of the head."""

    skill: str
    tries: int
    renewal_months: int
    days_between: int
    steps: tuple[Step, ...]


def read(body: Mapping[str, Any]) -> Checklist:
    """The checklist that a checked body holds; a number outside its ends, in an older version, is read as the end."""
    head = body["head"]
    return Checklist(
        skill=head["skill"],
        tries=_within(TRIES, head),
        renewal_months=_within(RENEWAL, head),
        days_between=_within(BETWEEN, head),
        steps=tuple(Step(**row) for row in body["rows"]),
    )


def check(body: Mapping[str, Any]) -> None:
    """Refuse a checklist without a critical step: with it, whoever shows any one step would be signed off."""
    if not any(row["critical"] for row in body["rows"]):
        raise NotUnderstood(
            "No step is critical.",
            "A sign-off says that every critical step was seen done, so there has to be one.",
            "Tick the steps without which nobody is signed off.",
        )


def _within(field: Field, head: Mapping[str, Any]) -> int:
    least, most = field.least or 0, field.most or inf
    return int(min(most, max(least, head[field.name])))


def default() -> dict[str, Any]:
    """The body of version 1."""
    head = {"skill": "Forehead scan", "tries": 3, "renewal_months": 12, "days_between": 1}
    return {"head": head, "rows": [dict(vars(step)) for step in STEPS]}


STEPS = (
    Step(
        "right-patient",
        "right patient",
        "Makes sure who the patient is and says what will happen.",
        critical=True,
        why="A right number on the wrong chart is a wrong number twice.",
        say="No name asked, no wristband read. Say: “Who is this, and how do you know?”",
        source=COMMON,
    ),
    Step(
        "clean-hands",
        "clean hands",
        "Cleans the hands before touching the patient and after.",
        why="The instrument goes from bed to bed, and so do hands. Local policy may make this step critical.",
        say="Straight from the last bed. Say: “What is between that patient and this one?”",
        source=COMMON,
    ),
    Step(
        "site",
        "right site",
        "Says why the forehead may be used on this patient, or chooses another site.",
        critical=True,
        why="Wounds, dressings and some patients need another site, and local rules say which.",
        say="Scans without a look. Say: “When would you not use the forehead?”",
        source=COMMON + "; local site and cover rules",
    ),
    Step(
        "lens",
        "clean lens",
        "Looks at the lens before the scan: clean, clear and dry.",
        critical=True,
        why="A dirty lens lets less warmth through, so the patient reads low.",
        say="Lens not looked at. Say: “Turn it to the light. What do you see?”",
        source=COMMON + "; how much lower is not established",
    ),
    Step(
        "forehead",
        "forehead ready",
        "Makes the forehead ready: dry, hair and cover moved aside, the side that lay up, uncovered for a minute.",
        critical=True,
        why="Damp skin reads low; skin that was covered or lay on the pillow reads high.",
        say="Scans through hair, over sweat, or on the pillow side. Say: “What is between the lens and the skin?”",
        source="step lists published for nurses; " + COMMON,
    ),
    Step(
        "start",
        "middle of the forehead",
        "Starts in the middle of the forehead with the probe flat on the skin.",
        why="A tilted probe sees the room beside the skin.",
        say="Starts at the side, or tilted. Say: “Flat first, then move.”",
        depends=True,
        source="step lists published for nurses; " + COMMON,
    ),
    Step(
        "path",
        "straight path, in touch",
        "Goes straight across to the hairline, in touch with the skin all the way, at a calm pace.",
        critical=True,
        why="Only there does the artery lie shallow on bone. Lower, beside the temple, it lies too deep to be read.",
        say="Drops off the level line, loses touch or hurries. Say: “Once more, slowly: show me "
        "where level is.”",
        depends=True,
        source="step lists published for nurses; " + COMMON,
    ),
    Step(
        "hold",
        "button to the end",
        "Keeps the button as the instrument asks until the scan is over.",
        critical=True,
        why="The instrument keeps the highest value it saw; a scan that ends early may miss it.",
        say="Lets go on the way. Say: “Where was your thumb when you reached the hair?”",
        depends=True,
        source=COMMON,
    ),
    Step(
        "behind-ear",
        "behind the ear",
        "Touches behind the earlobe when the instrument’s instructions ask for it, and when the forehead is damp.",
        critical=True,
        why="Sweat cools the forehead; behind the earlobe a damp patient is still read. Published step lists "
        "disagree: always, at the end of each scan, or only when the patient is damp or the head is injured.",
        say="Leaves it out on a damp forehead. Say: “What do your instrument’s instructions say about the ear?”",
        depends=True,
        source="published step lists disagree; the instrument’s instructions for use decide",
    ),
    Step(
        "reads",
        "reads it out",
        "Reads the number with its unit before the display goes out.",
        why="What is remembered on the way to the chart is not what was shown.",
        say="Says a number without a unit. Say: “In which unit is this one set?”",
        source=COMMON,
    ),
    Step(
        "repeat",
        "waits to repeat",
        "Waits about 30 seconds before scanning the same patient again, or as the instrument asks.",
        critical=True,
        why="The probe cools the skin; a repeat at once reads low.",
        say="Scans three times in a row and takes the one it likes. Say: “What did the first scan do to the skin?”",
        depends=True,
        source=COMMON,
    ),
    Step(
        "doubt",
        "doubted reading",
        "Says what to do with a reading that does not fit: look at the patient and escalate first if ill, then lens, "
        "sweat, side, wait, repeat, second instrument, another route.",
        critical=True,
        why="A forehead reading in the usual range does not rule out a fever, and no number outweighs an ill patient.",
        say="Repeats until the number fits. Say: “Who do you look at first, the patient or the display?”",
        source="PMC4823400 (pooled studies of forehead scans: specific, not sensitive); " + COMMON,
    ),
    Step(
        "charts",
        "charts it whole",
        "Charts at once: value as shown, unit, site and time. Nothing is added or rounded.",
        critical=True,
        why="Without its site a value cannot be compared, and what is charted later is charted wrong more often.",
        say="Charts from memory, no site, or “adds a degree”. Say: “What will the next nurse know from this line?”",
        source="PubMed 19726926 (errors when values are copied by hand); " + COMMON,
    ),
    Step(
        "cleans",
        "cleans it",
        "Cleans the case with the wipe that is allowed for it and leaves the lens to its own swab.",
        critical=True,
        why="The next patient is measured with it too. An agent that does not fit causes lens damage.",
        say="Puts it back unwiped, or wipes the lens with what is at hand. Say: “Which wipe, and for which part?”",
        depends=True,
        source="doi 10.1016/j.ajic.2010.10.030 (thermometers found unclean); " + COMMON,
    ),
)
