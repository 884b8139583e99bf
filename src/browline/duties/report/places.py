"""The pages about wards, about practice, and about sites of measurement."""

from collections.abc import Mapping, Sequence
from typing import Any

from browline.duties.report import words
from browline.duties.report.document import Block, Chart, Grid, Paragraph, Section
from browline.duties.report.standing import Found, flags_instrument, impersonal, is_open, subject

APART = 0.05


def ward_sections(
    result: Mapping[str, Any], supplement: Mapping[str, Any], findings: Sequence[Found], unit: str
) -> list[Section]:
    """Every ward: its difference from the others, and its weeks side by side."""
    rows = result.get("wards") or []
    weeks = (supplement.get("weeks") or {}).get("ward") or {}
    if not rows and not weeks:
        return []
    told: list[Block] = [Paragraph(f["sentence"], strong=True) for f in _about_wards(findings)]
    headings = ("ward", "readings", "compared with", f"difference, °{unit}", "95 % interval")
    table = Grid(
        "Wards at 37 °C, site, patients and time of day allowed for",
        headings,
        tuple(_line(r, unit) for r in rows),
        numeric=(1, 3, 4),
    )
    tolerance = float(supplement.get("tolerance_c", 0.3))
    shared = {"tolerance": tolerance, "reach": _reach(weeks, tolerance)}
    charts = [
        Chart("weekly", name, {"points": points, "subject": name, **shared}, small=True)
        for name, points in sorted(weeks.items())
    ]
    return [Section("Wards", (*told, *([table] if rows else []), *charts), new_page=True)]


def _reach(weeks: Mapping[str, Sequence[Mapping[str, Any]]], tolerance: float) -> float:
    """The farthest any week of any ward reaches from zero, so that all wards share one scale."""
    shown = [w for points in weeks.values() for w in points if w["n"] >= words.FEWEST]
    ends = [abs(float(w[k])) for w in shown for k in ("mean_c", "low_c", "high_c") if w[k] is not None]
    return max([*ends, tolerance])


def _about_wards(findings: Sequence[Found]) -> list[Found]:
    return [f for f in findings if is_open(f) and f["kind"] == "ward-offset"]


def _line(r: Mapping[str, Any], unit: str) -> tuple[str, ...]:
    name, n = str(r["ward"]), r["n"]
    if n < words.FEWEST or r.get("offset_c") is None:
        return (name, words.count(n), r.get("comparator") or "", "–", "too few to tell")
    size = words.signed(words.in_unit_difference(r["offset_c"], unit))
    return (
        name,
        words.count(n),
        r.get("comparator") or "",
        size,
        words.span(r.get("low_c"), r.get("high_c"), unit),
    )


def practice_sections(findings: Sequence[Found]) -> list[Section]:
    """Findings about charting: a question to ask, not a verdict; the innocent reasons stand first."""
    told = [
        f
        for f in impersonal(findings)
        if is_open(f) and not flags_instrument(f) and f["kind"] != "ward-offset"
    ]
    if not told:
        return []
    rows = tuple((_where(f), f["sentence"], words.count(f["n"]), _reasons(f), f["action"]) for f in told)
    intro = Paragraph(
        "Each is a question to ask, with the ordinary reasons first. None of them is about a person."
    )
    table = Grid(
        "Findings about charting", ("where", "what", "readings", "possible reasons", "next step"), rows, (2,)
    )
    return [Section("How temperatures are charted", (intro, table))]


def _where(finding: Found) -> str:
    kind, name = subject(finding)
    return "whole book" if kind == "book" else name


def _reasons(finding: Found) -> str:
    return "; ".join(c["cause"] for c in finding.get("causes") or []) or "not known"


def site_sections(result: Mapping[str, Any], unit: str) -> list[Section]:
    """How sites read against the reference site: two ways of working it out, side by side."""
    sites = result.get("sites") or []
    if not sites:
        return []
    reference = result.get("reference_site") or "the reference site"
    headings = (
        "site",
        "readings",
        f"all readings, °{unit}",
        "95 % interval",
        "pairs",
        f"pairs, °{unit}",
        "95 % interval",
    )
    rows = tuple(_site(s, result.get("reference_site"), unit) for s in sites)
    table = Grid(f"Sites against {reference}, at 37 °C", headings, rows, numeric=(1, 2, 3, 4, 5, 6))
    told: list[Block] = [
        Paragraph("Worked out from all readings, and from pairs of readings of one patient within minutes."),
        table,
    ]
    told += [Paragraph(text) for text in filter(None, (_disagreement(s, unit) for s in sites))]
    return [Section("Sites of measurement", tuple(told))]


def _site(s: Mapping[str, Any], reference: str | None, unit: str) -> tuple[str, ...]:
    name, n = str(s["site"]), s["n"]
    if name == reference:
        return (f"{name} (reference)", words.count(n), "–", "–", "–", "–", "–")
    pairs = s.get("pairs") or {}
    return (
        name,
        words.count(n),
        *_two(s, n, unit),
        words.count(pairs.get("n") or 0),
        *_two(pairs, pairs.get("n") or 0, unit),
    )


def _two(part: Mapping[str, Any], n: int, unit: str) -> tuple[str, str]:
    if n < words.FEWEST or part.get("offset_c") is None:
        return "–", "too few to tell"
    size = words.signed(words.in_unit_difference(part["offset_c"], unit))
    return size, words.span(part.get("low_c"), part.get("high_c"), unit)


def _disagreement(s: Mapping[str, Any], unit: str) -> str:
    pairs = s.get("pairs") or {}
    if (
        (pairs.get("n") or 0) < words.FEWEST
        or s.get("offset_c") is None
        or pairs.get("offset_c") is None
        or abs(s["offset_c"] - pairs["offset_c"]) <= APART
    ):
        return ""
    gap = words.difference(abs(s["offset_c"] - pairs["offset_c"]), unit).lstrip("+")
    return (
        f"The two ways differ for {s['site']} by {gap}: "
        "use the wider interval. Readings repeated because something looked wrong are not a fair sample."
    )
