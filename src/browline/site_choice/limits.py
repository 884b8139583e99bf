"""What no set of rules is without, whoever wrote it and when.

These rows come with the program like the others and can be edited. A stored set that has nothing of the kind, because
it was written before them or because they were taken out, is read as if it had them: on the screen, on the card and at
the desk alike. So no temperature stands in them as a mark.
"""

from collections.abc import Sequence
from typing import Any

from browline.site_choice.flags import CONTACT
from browline.site_choice.written import OWN, row

NEUTROPENIC = "neutropenic fever definitions (secondary source)"
LEAVES = "isolation practice; studies beside"
ON_HANDLES = (
    "Agrees: 20.8 of 100 rectal handles carried spores (PubMed 1541811), and shared armpit probes a resistant yeast "
    "(N Engl J Med 2018;379:1322). What covers the instrument does not cover the probe."
)

ADDED = "added by the program, for this set of rules has no such rule"

LIMITS = [
    row(
        "mouth-defines", "emergency",
        "Fever in neutropenia is defined by mouth. Where the mouth cannot be used, ask now which site and which line "
        "this hospital has decided on.",
        priority=94, when=("neutropenia",), source=NEUTROPENIC,
        published="No published line for another site was found.",
        why="A line that was set for the mouth says nothing of another site.",
    ),
    row(
        "hurt-oral", "site", "Oral.", priority=58, when=("forehead-injury",), sites=("oral",), source=OWN,
        why="The scan would lie where the skin, or the flow under it, is changed.",
    ),
    row(
        "bandaged-oral", "site", "Oral.", priority=57, when=("bandaged",), sites=("oral",), source=OWN,
        why="Who can keep a probe in the mouth is read there before any skin away from the head.",
        published="Lawson 2007 (60 adults): oral off by more than half a degree Celsius in 19 of 100. For the groin "
        "nothing was found.",
    ),
    row(
        "hurt-not-neck", "ruled-out", "Never the neck alone: injury, burn or surgery of head, face or neck.",
        priority=46, when=("forehead-injury",), sites=("behind-ear",), source=OWN,
        published="No published figure for the neck after a burn or surgery was found.",
        why="Burn and surgery change how much blood the skin gets, and the skin itself.",
    ),
    row(
        "neutropenia-not", "ruled-out", "Never rectal in neutropenia.", priority=60, when=("neutropenia",),
        sites=("rectal",), source=NEUTROPENIC, published="Agrees: published definitions avoid the rectal site.",
        why="A small tear can let bacteria into the blood.",
    ),
    row(
        "spores-probe", "cover",
        "A dedicated instrument that stays with this patient, and a new probe cover for each reading.",
        priority=92, when=("spore-forming",), sites=CONTACT, source=LEAVES, published=ON_HANDLES,
        why="Spores outlive alcohol; the cover keeps the probe clean, not the handle.",
    ),
    row(
        "resistant-probe", "cover",
        "A dedicated instrument that stays with this patient, and a new probe cover for each reading.",
        priority=82, when=("multi-resistant",), sites=CONTACT, source=LEAVES, published=ON_HANDLES,
        why="Resistant organisms travel on shared probes.",
    ),
    row(
        "isolation-probe", "cover",
        "A new probe cover for each reading. The instrument is dedicated to this patient, or has a whole-instrument "
        "cover.",
        priority=62, when=("isolation",), sites=CONTACT, source=LEAVES, published=ON_HANDLES,
        why="The probe touches mouth, bowel, ear or armpit, and hands touch the rest.",
    ),
]  # fmt: skip


def lacking(rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The limits of which these rows have nothing."""
    return [
        {**limit, "source": f"{limit['source']}; {ADDED}"}
        for limit in LIMITS
        if not any(_keeps(row, limit) for row in rows)
    ]


def _keeps(row: dict[str, Any], limit: dict[str, Any]) -> bool:
    """Whether a row says no less than the limit. What bars a site is not known by its name: an edit may narrow it."""
    if row["kind"] != limit["kind"]:
        return False
    if row["kind"] != "ruled-out" and row["id"] == limit["id"]:
        return True
    return (
        bool(limit["sites"])
        and set(row["when"]) <= set(limit["when"])
        and set(row["sites"]) >= set(limit["sites"])
        and (row["kind"] == "ruled-out" or (row["priority"] or 0) >= limit["priority"])
    )
