"""A report with its charts drawn, as plain data: what the paper and the page are both filled with."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TypedDict

from browline import display
from browline.columns import KINDS
from browline.documents.charts import IntervalRows, RunRows, WeeklyRows
from browline.figures import Figure, around_chart, interval_chart, run_chart, weekly_chart
from browline.services.review.report.document import (
    Block,
    Bullets,
    Chart,
    FirstPage,
    Grid,
    Paragraph,
    Report,
    Request,
    Section,
)

OPENING = (
    "We review charted temperatures to find instruments, wards and ways of charting that cannot be relied on. "
    "The export we have lacks the columns below. Please add them to the next export, one row a temperature, "
    "as they stand in the record, without tidying."
)
CARE = (
    "Patient and stay identifiers are turned into keyed pseudonyms before anything is stored.",
    "Names and free text are not kept. Leave out names, dates of birth and addresses.",
    "Where a column cannot be given, a word about why already helps.",
)
ANSWERS = ("Can be added from (date)", "Cannot be added, because", "Who to ask")
LONG_TEXT = 40


class Size(TypedDict, total=False):
    """Pixels, where the usual ones do not fit."""

    width: int
    height: int


SMALL: Size = {"width": 300, "height": 110}


def laid_out(report: Report) -> dict[str, object]:
    """The report as nested dicts of texts, each chart as its SVG with title, sentence and table."""
    title = "Can charted temperatures be relied on?"
    return {
        "title": title,
        "author": report.hospital or "browline",
        "description": report.first.headline,
        "masthead": " · ".join(filter(None, (report.hospital, title, report.period))),
        "foot": f"{report.hospital or 'Temperature review'} · made {clock(report.made)}",
        "paper": report.paper,
        "region": region(report.paper),
        "first": _first(report.first, report.unit),
        "sections": [_section(section, report.unit) for section in report.sections],
    }


def request_laid_out(request: Request) -> dict[str, object]:
    """The page for the data team as nested dicts of texts."""
    meanings = {column.name: column.meaning for column in KINDS["readings"]}
    named = [{"name": name, "what": meanings.get(name, ""), "why": why} for name, why in request.columns]
    return {
        "title": "Columns to add to the temperature export",
        "author": request.hospital or "browline",
        "masthead": " · ".join(filter(None, (request.hospital, "for the data team"))),
        "foot": f"made {clock(request.made)}",
        "paper": request.paper,
        "region": region(request.paper),
        "opening": OPENING,
        "columns": named,
        "care": list(CARE),
        "answers": list(ANSWERS),
    }


def region(paper: str) -> str:
    """Whose spelling goes with this paper."""
    return "US" if paper == "us-letter" else "GB"


def clock(time: datetime) -> str:
    """A time no one can misread."""
    return f"{display.moment(time)} {time.tzname() or ''}".strip()


def _first(page: FirstPage, unit: str) -> dict[str, object]:
    return {
        "headline": page.headline,
        "chart": None if page.chart is None else _chart(page.chart, unit),
        "numbers": [
            {"label": n.label, "value": n.value, "interval": n.interval, "basis": n.basis}
            for n in page.numbers
        ],
        "cannot_say": list(page.cannot_say),
        "decision": page.decision,
        "actions": [{"what": a.what, "owner": a.owner, "due": display.day(a.due)} for a in page.actions],
        "caution": page.caution,
    }


def _section(section: Section, unit: str) -> dict[str, object]:
    return {
        "title": section.title,
        "level": section.level,
        "page": section.new_page,
        "together": section.together,
        "blocks": list(_blocks(section.blocks, unit)),
    }


def _blocks(blocks: Sequence[Block], unit: str) -> Iterator[dict[str, object]]:
    """Blocks in order; small charts that follow one another share a row."""
    small: list[dict[str, object]] = []
    for block in blocks:
        if isinstance(block, Chart) and block.small:
            small.append(_chart(block, unit))
            continue
        if small:
            yield {"type": "small-charts", "charts": small}
            small = []
        yield _block(block, unit)
    if small:
        yield {"type": "small-charts", "charts": small}


def _block(block: Block, unit: str) -> dict[str, object]:
    if isinstance(block, Paragraph):
        return {"type": "paragraph", "text": block.text, "strong": block.strong}
    if isinstance(block, Bullets):
        return {"type": "bullets", "items": list(block.items)}
    if isinstance(block, Grid):
        return _grid(block)
    return _chart(block, unit)


def _grid(grid: Grid) -> dict[str, object]:
    lengths = [max((len(row[i]) for row in grid.rows), default=0) for i in range(len(grid.headings))]
    return {
        "type": "grid",
        "caption": grid.caption,
        "headings": list(grid.headings),
        "rows": [list(row) for row in grid.rows],
        "numeric": list(grid.numeric),
        "wide": max(lengths, default=0) > LONG_TEXT,
        "weights": [min(max(length, 9), 90) ** 0.5 for length in lengths],
        "facts": not any(grid.headings),
    }


def _chart(chart: Chart, unit: str) -> dict[str, object]:
    figure = drawn(chart, unit)
    return {
        "type": "chart",
        "title": chart.title,
        "svg": figure.svg,
        "sentence": figure.sentence,
        "headings": list(figure.table.headings),
        "rows": [list(row) for row in figure.table.rows],
        "share": 0.8 if isinstance(chart.rows, IntervalRows) else 1.0,
    }


def drawn(chart: Chart, unit: str) -> Figure:
    """The figure a chart of the report asks for."""
    rows, size = chart.rows, _size(chart)
    if isinstance(rows, RunRows):
        return run_chart(rows.months, rows.events, **size)
    if isinstance(rows, WeeklyRows):
        return weekly_chart(
            rows.points,
            rows.subject,
            rows.since,
            rows.tolerance,
            unit=unit,
            reach=rows.reach,
            comparator=rows.comparator,
            **size,
        )
    if isinstance(rows, IntervalRows):
        return interval_chart(rows.rows, rows.tolerance, quantity=chart.title, unit=unit)
    return around_chart(rows.months, unit=unit, **size)


def _size(chart: Chart) -> Size:
    """Pixels, where the usual ones do not fit; small charts share a row."""
    if chart.small:
        return SMALL
    return {} if chart.height is None else {"height": chart.height}
