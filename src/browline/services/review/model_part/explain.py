"""Why a finding was made: readings, comparator, since when; what else could explain it; what it cannot be told from."""

from dataclasses import dataclass

from browline import display
from browline.findings import BY_MODEL, SUBJECTS, finding_kind
from browline.services.review.model_part.sites import typical
from browline.services.review.model_rows import EffectPart, ModelPart, Partner
from browline.services.review.rows import Document, FindingRow
from browline.services.review.supplement_rows import Supplement

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


def why(finding: FindingRow, result: Document, supplement: Supplement, unit: str) -> Why | None:
    """Why a finding of the joint model was made; None for findings of the audit, which say it themselves."""
    if finding.get("kind") not in BY_MODEL:
        return None
    about = finding.get("subject")
    factor, name = (about["type"], about["id"]) if about else ("", "")
    kept = _kept(supplement, factor, name)
    return Why(
        _because(finding, kept, unit),
        typical(_offset(result, factor, name), kept.get("typical_c"), unit),
        tuple(_apart(finding, factor, kept)),
    )


def _kept(supplement: Supplement, factor: str, name: str) -> EffectPart:
    """What the model's part says of an instrument or a ward; nothing where it has none."""
    model: ModelPart = supplement.get("model") or {}
    parts = {"instrument": model.get("instruments"), "ward": model.get("wards")}.get(factor) or {}
    return parts.get(name) or {}


def _offset(result: Document, factor: str, name: str) -> float | None:
    """How an instrument or a ward reads by the review's document."""
    if factor == "instrument":
        return next(
            (r.get("offset_c") for r in result.get("instruments") or [] if r["instrument"] == name), None
        )
    if factor == "ward":
        return next((r.get("offset_c") for r in result.get("wards") or [] if r["ward"] == name), None)
    return None


def _because(finding: FindingRow, kept: EffectPart, unit: str) -> str:
    """Readings, comparator, size with interval, since when."""
    against = finding.get("comparator") or "a comparator not stated"
    effect = finding.get("effect")
    size = "–" if effect is None else display.difference(effect, unit)
    span = display.span(finding.get("low"), finding.get("high"), unit)
    days, since = kept.get("drift_days"), finding.get("since")
    return finding_kind(finding["kind"]).because.format(
        n=display.count(finding["n"]),
        when=f" since {display.day(since)}" if since else "",
        over=f" over {display.many(round(days), 'day')}" if days else " between two cleanings",
        comparator=against,
        size=size,
        span=span,
    )


def _apart(finding: FindingRow, factor: str, kept: EffectPart) -> list[str]:
    told = [
        f"It cannot be told from {_named(p)}. To tell: {SUBJECTS[p['factor']].apart}."
        for p in kept.get("partners") or []
    ]
    if factor == "instrument" and kept.get("after_cleaning_c") is None:
        told += filter(None, [finding_kind(finding["kind"]).alternative])
    return [*told, FLEET] if factor == "instrument" else told


def _named(partner: Partner) -> str:
    if partner["factor"] == "person":
        return "one person’s way of reading"
    name = partner["name"]
    return name if "ward" in name.lower() else f"{partner['factor']} {name}"
