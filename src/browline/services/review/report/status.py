"""Which findings stand, which instruments they flag, and what came of checking them."""

from collections.abc import Sequence
from dataclasses import dataclass

from browline.documents.finding import BookFinding
from browline.findings import CHECKED, CONFIRMING, Chapter, finding_kind

Found = BookFinding

OPEN = ("new", "still there")
BY_PERSON = "person"


@dataclass(frozen=True)
class Checked:
    """Of the instruments flagged: how many were checked, how many could not be found, how many confirmed."""

    flagged: int
    checked: int
    not_found: int
    confirmed: int


def is_open(finding: Found) -> bool:
    """New or still there; a finding without a state has just been made."""
    return finding.state in OPEN


def subject(finding: Found) -> tuple[str, str]:
    """Type and name of what the finding is about."""
    return finding.subject.type, finding.subject.id


def flags_instrument(finding: Found) -> bool:
    """Findings that ask for a check of one instrument."""
    chapter = finding_kind(finding.kind).chapter
    return chapter is Chapter.INSTRUMENTS and subject(finding)[0] == "instrument"


def personal(finding: Found) -> bool:
    """Findings that offer somebody help with technique."""
    return finding_kind(finding.kind).chapter is Chapter.PEOPLE


def by_instrument(findings: Sequence[Found]) -> dict[str, list[Found]]:
    """The findings that flag an instrument, by its name, surest first as they came."""
    flagged: dict[str, list[Found]] = {}
    for finding in filter(flags_instrument, findings):
        flagged.setdefault(subject(finding)[1], []).append(finding)
    return flagged


def impersonal(findings: Sequence[Found]) -> list[Found]:
    """Everything but findings about a person, which page 1 never carries."""
    return [f for f in findings if subject(f)[0] != BY_PERSON and not personal(f)]


def checked(findings: Sequence[Found]) -> Checked:
    """What came of checks, for each instrument ever flagged; cleaning or not finding it is no check.

    A flag that was withdrawn counts only where somebody checked it before.
    """
    flagged = by_instrument([f for f in findings if f.outcomes or not f.withdrawn])
    codes = [{o.code for f in group for o in f.outcomes} for group in flagged.values()]
    return Checked(
        flagged=len(codes),
        checked=sum(bool(c & set(CHECKED)) for c in codes),
        not_found=sum(c == {"not-found"} for c in codes),
        confirmed=sum(bool(c & set(CONFIRMING)) for c in codes),
    )
