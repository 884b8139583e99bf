"""The site and cover chooser: typed flags in, one answer out. Nothing of it is written down."""

from dataclasses import dataclass
from datetime import datetime

from browline.services.materials import documents
from browline.services.materials.handouts.cards import mark, status, worded
from browline.site_choice import Choice, Patient, Section, explain, rules_of, solve

KIND = "site-and-cover"


@dataclass(frozen=True)
class Answer:
    """What the rules in use say of one patient, and how those rules stand."""

    choice: Choice
    parts: tuple[Section, ...]
    version: int
    standing: str
    mark: str


def choose(patient: Patient, now: datetime) -> Answer:
    """Ask the rules in use; both units stand in every text."""
    document = documents.in_force(KIND, now.date())
    choice = solve(patient, rules_of(worded(document.body)))
    return Answer(
        choice=choice,
        parts=explain(choice),
        version=document.version,
        standing=status(document, now.date()),
        mark=mark(document, now.date()),
    )
