"""Why a finding was made: readings, comparator, since when; what else could explain it; what it cannot be told from."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from browline import display
from browline.findings import BY_MODEL
from browline.services.review.model_part.sites import typical

APART = {
    "instrument": "swap instruments with another ward for a week, then review again",
    "ward": "swap instruments with another ward for a week, then review again",
    "person": "let other people use it for a week, then review again",
}
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


def why(
    finding: Mapping[str, Any], result: Mapping[str, Any], supplement: Mapping[str, Any], unit: str
) -> Why | None:
    """Why a finding of the joint model was made; None for findings of the audit, which say it themselves."""
    if finding.get("kind") not in BY_MODEL:
        return None
    about = finding.get("subject") or {}
    factor, name = str(about.get("type")), str(about.get("id"))
    kept = ((supplement.get("model") or {}).get(f"{factor}s") or {}).get(name) or {}
    row = next((r for r in result.get(f"{factor}s") or [] if r.get(factor) == name), {})
    return Why(
        _because(finding, kept, unit),
        typical(row.get("offset_c"), kept.get("typical_c"), unit),
        tuple(_apart(finding, factor, kept)),
    )


def _because(finding: Mapping[str, Any], kept: Mapping[str, Any], unit: str) -> str:
    """Readings, comparator, size with interval, since when."""
    against = finding.get("comparator") or "a comparator not stated"
    size = display.difference(finding["effect"], unit)
    span = display.span(finding.get("low"), finding.get("high"), unit)
    if finding["kind"] == "instrument-drift":
        days = kept.get("drift_days")
        over = f" over {display.many(round(days), 'day')}" if days else " between two cleanings"
        return (
            f"{display.count(finding['n'])} readings taken with it were compared by the "
            "days since its lens was cleaned,"
            f" with {against}: they change by {size}{over} (95 % interval {span}), patients, sites, wards and"
            " hours of day allowed for."
        )
    since = finding.get("since")
    when = f" since {display.day(since)}" if since else ""
    return (
        f"{display.count(finding['n'])} readings{when} were set against {against}: they differ by {size} at 37.0 °C"
        f" (95 % interval {span}), patients, sites, wards and hours of day allowed for."
    )


def _apart(finding: Mapping[str, Any], factor: str, kept: Mapping[str, Any]) -> list[str]:
    told = [
        f"It cannot be told from {_named(p)}. To tell: {APART.get(p['factor'], APART['ward'])}."
        for p in kept.get("partners") or []
    ]
    if finding["kind"] == "instrument-drift" and kept.get("after_cleaning_c") is None:
        told.append(
            "Too few readings lie within three days of a cleaning to see the jump back that a dirty lens makes, so a"
            " lens is hardly told from ageing. To tell: compare it with a second instrument as found, then clean it and"
            " compare again."
        )
    return [*told, FLEET] if factor == "instrument" else told


def _named(partner: Mapping[str, str]) -> str:
    if partner["factor"] == "person":
        return "one person’s way of reading"
    name = partner["name"]
    return name if "ward" in name.lower() else f"{partner['factor']} {name}"
