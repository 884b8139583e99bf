"""Findings: what cannot be trusted, and one catalogue of every kind with its words.

`CATALOGUE` has one row a kind of finding; `finding_kind(id)` looks one up. Rooms make `Finding`s; the store keeps
them across reviews; the doors show them.
"""

from browline.findings.catalogue import (
    AUDITED,
    BY_ID,
    BY_MODEL,
    CATALOGUE,
    FLAGGED,
    HEADINGS,
    KINDS,
    UNMEASURED,
    finding_kind,
    kinds_in,
    reference_rows,
)
from browline.findings.cause import Cause
from browline.findings.finding import NOT_JUDGED, TAKEN_BACK, Finding, expected_false_share, not_judged
from browline.findings.joint_model import CHECK_AS_FOUND, IF_IN_DOUBT, TELL_APART
from browline.findings.kind import FORTNIGHT, Chapter, FindingKind, Source
from browline.findings.outcomes import CHECKED, CLEARING, CLOSING, CONFIRMING, NEXT_AFTER, OUTCOMES
from browline.findings.subjects import BOOK, SUBJECTS, Subject
from browline.findings.values import ROUNDING

__all__ = [
    "AUDITED",
    "BOOK",
    "BY_ID",
    "BY_MODEL",
    "CATALOGUE",
    "CHECKED",
    "CHECK_AS_FOUND",
    "CLEARING",
    "CLOSING",
    "CONFIRMING",
    "FLAGGED",
    "FORTNIGHT",
    "HEADINGS",
    "IF_IN_DOUBT",
    "KINDS",
    "NEXT_AFTER",
    "NOT_JUDGED",
    "OUTCOMES",
    "ROUNDING",
    "SUBJECTS",
    "TAKEN_BACK",
    "TELL_APART",
    "UNMEASURED",
    "Cause",
    "Chapter",
    "Finding",
    "FindingKind",
    "Source",
    "Subject",
    "expected_false_share",
    "finding_kind",
    "kinds_in",
    "not_judged",
    "reference_rows",
]
