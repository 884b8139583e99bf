"""Why a finding was made: readings, comparator, since when; what else could explain it; what it cannot be told from."""

from dataclasses import dataclass

from browline import display
from browline.documents.finding import StoredFinding
from browline.documents.model import EffectPart, ModelPart, PartnerRow
from browline.documents.review import ReviewDocument
from browline.findings import BY_MODEL, SUBJECTS, finding_kind
from browline.services.review.model_part.sites import typical

FLEET = (
    "An error that the whole fleet shares cannot be seen in charts; a check of this instrument against a reference"
    " shows it."
)


@dataclass(frozen=True)
class Why:
    """In sentences: `because` the evidence, `typical` the typical against the average reading where they differ,
    `apart` what it cannot be told from and what would tell."""

    because: str
    typical: str
    apart: tuple[str, ...]


def why(finding: StoredFinding, document: ReviewDocument, unit: str) -> Why | None:
    """Why a finding of the joint model was made; None for findings of the audit, which say it themselves."""
    if finding.kind not in BY_MODEL:
        return None
    factor, name = finding.subject.type, finding.subject.id
    part = _part(document.supplement.model or ModelPart(), factor, name)
    return Why(
        _because(finding, part, unit),
        typical(_offset(document, factor, name), part.typical_c, unit),
        tuple(_apart(finding, factor, part)),
    )


def _part(model: ModelPart, factor: str, name: str) -> EffectPart:
    """What the model's part says of an instrument or a ward; nothing where it has none."""
    parts = {"instrument": model.instruments, "ward": model.wards}.get(factor, {})
    return parts.get(name, EffectPart())


def _offset(document: ReviewDocument, factor: str, name: str) -> float | None:
    """How an instrument or a ward reads by the review."""
    instrument = document.instrument(name) if factor == "instrument" else None
    ward = document.ward(name) if factor == "ward" else None
    row = instrument or ward
    return None if row is None else row.offset_c


def _because(finding: StoredFinding, part: EffectPart, unit: str) -> str:
    """Readings, comparator, size with interval, since when."""
    against = finding.comparator or "a comparator not stated"
    effect = finding.effect
    size = "–" if effect is None else display.difference(effect, unit)
    span = display.span(finding.low, finding.high, unit)
    days, since = part.drift_days, finding.since
    return finding_kind(finding.kind).because.format(
        n=display.count(finding.n),
        when=f" since {display.day(since)}" if since else "",
        over=f" over {display.many(round(days), 'day')}" if days else " between two cleanings",
        comparator=against,
        size=size,
        span=span,
    )


def _apart(finding: StoredFinding, factor: str, part: EffectPart) -> list[str]:
    sentences = [
        f"It cannot be told from {_named(p)}. To tell: {SUBJECTS[p.factor].apart}." for p in part.partners
    ]
    if factor == "instrument" and part.after_cleaning_c is None:
        sentences += filter(None, [finding_kind(finding.kind).alternative])
    return [*sentences, FLEET] if factor == "instrument" else sentences


def _named(partner: PartnerRow) -> str:
    if partner.factor == "person":
        return "one person’s way of reading"
    return partner.name if "ward" in partner.name.lower() else f"{partner.factor} {partner.name}"
