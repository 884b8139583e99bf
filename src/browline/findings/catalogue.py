"""Every kind of finding, one row each, and what programs look up in it. A kind is added by adding its row."""

from browline.findings import cells, charting, fevers, joint_model, values
from browline.findings.kind import Chapter, FindingKind, Source

# Signs of the audit stand in this order on the pages of a ward.
CATALOGUE: tuple[FindingKind, ...] = (
    *joint_model.ROWS,
    *values.ROWS,
    *fevers.ROWS,
    *charting.ROWS,
    *cells.ROWS,
)
BY_ID: dict[str, FindingKind] = {kind.id: kind for kind in CATALOGUE}

FLAGGED = tuple(sorted((k for k in CATALOGUE if k.flagged), key=lambda kind: kind.place))
KINDS: tuple[str, ...] = tuple(kind.id for kind in FLAGGED)
BY_MODEL: tuple[str, ...] = tuple(
    kind.id for kind in FLAGGED if kind.source is Source.MODEL and not kind.to_come
)
AUDITED: dict[str, FindingKind] = {kind.id: kind for kind in CATALOGUE if kind.source is Source.AUDIT}
UNMEASURED: tuple[str, ...] = tuple(kind.id for kind in CATALOGUE if kind.unmeasured)

HEADINGS = ("kind", "what it says", "about", "from", "compared with", "due in days", "what may come of it")
NAMED_WITH_IT = "named with each finding"


def finding_kind(kind: str) -> FindingKind:
    """The row of a kind, by its id."""
    return BY_ID[kind]


def kinds_in(chapter: Chapter) -> tuple[str, ...]:
    """The kinds that one chapter of the report speaks of."""
    return tuple(kind.id for kind in FLAGGED if kind.chapter is chapter)


def reference_rows() -> tuple[tuple[str, ...], ...]:
    """One row a kind that a review flags, under `HEADINGS`, for the written reference."""
    return tuple(_reference_row(kind) for kind in FLAGGED)


def _reference_row(kind: FindingKind) -> tuple[str, ...]:
    outcomes = dict(pair for subject in kind.subjects for pair in subject.outcomes)
    return (
        kind.id,
        f"{kind.title} (to come)" if kind.to_come else kind.title,
        ", ".join(subject.type for subject in kind.subjects),
        kind.source.value,
        NAMED_WITH_IT if "{" in kind.comparator else kind.comparator,
        str(kind.due_days),
        ", ".join(outcomes),
    )
