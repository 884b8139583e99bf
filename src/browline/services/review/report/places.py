"""The pages about wards and about practice."""

from collections.abc import Mapping, Sequence

from browline import display
from browline.documents.charts import WeeklyRows
from browline.documents.review import ReviewDocument, WardRow
from browline.documents.supplement import WeekRow
from browline.findings import Chapter, finding_kind
from browline.services.review.report.document import Block, Chart, Grid, Paragraph, Section
from browline.services.review.report.status import Found, flags_instrument, impersonal, is_open, subject


def ward_sections(document: ReviewDocument, findings: Sequence[Found], unit: str) -> list[Section]:
    """Every ward: its difference from the others, and its weeks side by side."""
    rows, weeks = document.wards, document.supplement.weeks.ward
    if not rows and not weeks:
        return []
    sentences: list[Block] = [Paragraph(f.sentence, strong=True) for f in _about_wards(findings)]
    headings = ("ward", "readings", "compared with", f"difference, °{unit}", "95 % interval")
    table = Grid(
        "Wards at 37 °C, site, patients and time of day allowed for",
        headings,
        tuple(_line(r, unit) for r in rows),
        numeric=(1, 3, 4),
    )
    charts = _charts(weeks, document.supplement.tolerance_c)
    return [Section("Wards", (*sentences, *([table] if rows else []), *charts), new_page=True)]


def _charts(weeks: Mapping[str, tuple[WeekRow, ...]], tolerance: float) -> list[Chart]:
    reach = _reach(weeks, tolerance)
    return [
        Chart(name, WeeklyRows(points=points, subject=name, tolerance=tolerance, reach=reach), small=True)
        for name, points in sorted(weeks.items())
    ]


def _reach(weeks: Mapping[str, Sequence[WeekRow]], tolerance: float) -> float:
    """The farthest any week of any ward reaches from zero, so that all wards share one scale."""
    drawn = [w for points in weeks.values() for w in points if w.n >= display.FEWEST]
    ends = [abs(end) for w in drawn for end in (w.mean_c, w.low_c, w.high_c) if end is not None]
    return max([*ends, tolerance])


def _about_wards(findings: Sequence[Found]) -> list[Found]:
    return [f for f in findings if is_open(f) and _in_wards(f)]


def _in_wards(finding: Found) -> bool:
    return finding_kind(finding.kind).chapter is Chapter.WARDS


def _line(r: WardRow, unit: str) -> tuple[str, ...]:
    name, n = r.ward, r.n
    offset = r.offset_c
    if n < display.FEWEST or offset is None:
        return (name, display.count(n), r.comparator or "", "–", r.reason or "too few to tell")
    size = display.signed(display.in_unit_difference(offset, unit))
    return (
        name,
        display.count(n),
        r.comparator or "",
        size,
        display.span(r.low_c, r.high_c, unit),
    )


def practice_sections(findings: Sequence[Found]) -> list[Section]:
    """Findings about charting: a question to ask, not a verdict; the innocent reasons stand first."""
    listed = [f for f in impersonal(findings) if is_open(f) and not flags_instrument(f) and not _in_wards(f)]
    if not listed:
        return []
    rows = tuple((_where(f), f.sentence, display.count(f.n), _reasons(f), f.action) for f in listed)
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
    return "; ".join(c.cause for c in finding.causes) or "not known"
