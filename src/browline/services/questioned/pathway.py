"""The pathway for a questioned reading as it is in use today, for the page and for paper.

    in_use(now) -> Pathway

The first line and the line on charting stand whatever the document says.
"""

from dataclasses import dataclass
from datetime import date, datetime

from browline.materials.pathway import CHART, Part, pathway_parts
from browline.services.materials.handouts.cards import HandedOut, handed_out
from browline.site_choice import ESCALATE

KIND, HAND_OUT = "questioned-reading-pathway", "pathway"
NOT_APPROVED = "Not approved: local policy and the person in charge decide."


@dataclass(frozen=True)
class Pathway:
    """What is read at the bedside: `first`, then `escalate`, then the other `parts`; `charting` closes it.

    `mark` is the word across it, empty in force; `decides` then says who decides instead. `call`: whom to call.
    """

    first: str
    escalate: Part | None
    parts: tuple[Part, ...]
    charting: str
    call: str
    version: int
    owner: str
    approved: date | None
    expires: date | None
    standing: str
    mark: str
    decides: str


def in_use(now: datetime) -> Pathway:
    """The version in force, or the latest as the draft it is; every temperature in both units."""
    return of_handed(handed_out(HAND_OUT, now))


def of_handed(handed: HandedOut) -> Pathway:
    """The pathway of a hand-out, so that paper and page say the same."""
    parts = pathway_parts(handed.body)
    return Pathway(
        first=ESCALATE,
        escalate=next((part for part in parts if part.name == "escalate"), None),
        parts=tuple(part for part in parts if part.name != "escalate"),
        charting=CHART,
        call=str(handed.body["head"]["call"]),
        version=handed.version,
        owner=handed.owner,
        approved=handed.approved,
        expires=handed.expires,
        standing=handed.standing,
        mark=handed.mark,
        decides=NOT_APPROVED if handed.mark else "",
    )
