"""The page about sites of measurement: two ways of comparing them side by side, and what speaks against each."""

from collections.abc import Sequence

from browline.documents.review import ReviewDocument
from browline.services.review.model_part import SiteRow, site_rows
from browline.services.review.model_part.sites import SLOPE, UNCHARTED, WAYS
from browline.services.review.report.document import Block, Grid, Paragraph, Section


def site_sections(document: ReviewDocument, unit: str) -> list[Section]:
    """How sites read against the reference site, at 37.0 °C and over the range of fever."""
    rows = site_rows(document, unit)
    if not rows:
        return []
    against = document.reference_site or "the reference site"
    blocks: list[Block] = [Paragraph(WAYS), _model(rows, against), Paragraph(SLOPE), _pairs(rows, against)]
    # Where a check says that the two ways differ, it says so with its advice.
    sentences = [text for r in rows for text in ("" if r.checks else r.differ, r.typical)]
    blocks += [Paragraph(text, strong=True) for text in sentences if text]
    blocks += _uncharted(rows, against)
    blocks += [Paragraph(f"{r.site}: {sentence} {advice}") for r in rows for sentence, advice in r.checks]
    return [Section("Sites of measurement", tuple(blocks))]


def _model(rows: Sequence[SiteRow], against: str) -> Grid:
    headings = ("site", "readings", "at 37.0 °C", "95 % interval", "rise for 1 degree", "95 % interval")
    lines = tuple((_name(r), r.n, r.offset, r.interval, r.slope, r.slope_interval) for r in rows)
    return Grid(
        f"From all readings, against {against} in the same stays", headings, lines, numeric=(1, 2, 3, 4, 5)
    )


def _pairs(rows: Sequence[SiteRow], against: str) -> Grid:
    headings = ("site", "pairs", "quick pairs", "95 % interval", "all readings", "marked")
    lines = tuple(
        (_name(r), r.pairs_n, r.pairs, r.pairs_interval, r.offset, "differ" if r.differ else r.pairs_note)
        for r in rows
        if not r.reference
    )
    return Grid(
        f"From quick pairs, against {against} in the same patient", headings, lines, numeric=(1, 2, 3, 4)
    )


def _uncharted(rows: Sequence[SiteRow], against: str) -> list[Block]:
    """How the pairs' answer moves; a line a site, a column for each share of first readings never charted."""
    moved = [r for r in rows if r.uncharted]
    if not moved:
        return []
    headings = ("site", *(f"{share} uncharted" for share, _, _ in moved[0].uncharted))
    lines = tuple(
        (
            f"{r.site}{', ' + r.uncharted_at if r.uncharted_at else ''}",
            *(f"{offset} ({interval})" for _, offset, interval in r.uncharted),
        )
        for r in moved
    )
    columns = tuple(range(1, len(headings)))
    return [
        Paragraph(UNCHARTED),
        Grid(f"Quick pairs against {against}, if not all was charted", headings, lines, columns),
    ]


def _name(row: SiteRow) -> str:
    return f"{row.site} (reference)" if row.reference else row.site
