"""The ward's sheet on paper: one side, tagged, archivable, as good in greyscale."""

from pathlib import Path

from msgspec.structs import replace

from browline import display
from browline.figures import share_chart
from browline.paper.layout import clock, region
from browline.paper.pdf import write_typeset
from browline.services.review.ward_sheet import WardSheet
from browline.services.review.wards.trend import share_points

WIDTH, HEIGHT = 480, 115


def write_ward_sheet(sheet: WardSheet, path: Path | str) -> Path:
    """Write the sheet to `path` as PDF/UA-1 and PDF/A-2a; the file appears whole or not at all."""
    return write_typeset("ward_sheet.typ", sheet_laid_out(sheet), sheet.made, Path(path))


def sheet_laid_out(sheet: WardSheet) -> dict[str, object]:
    """The sheet as nested dicts of texts, its chart as SVG."""
    return {
        "title": f"{sheet.ward}: how our temperatures are charted",
        "author": sheet.hospital or "browline",
        "masthead": " · ".join(filter(None, (sheet.hospital, "for the ward", _period(sheet)))),
        "about": sheet.about,
        "good": sheet.good,
        "ask": {
            "question": sheet.ask.question,
            "help": sheet.ask.help,
            "why": sheet.ask.why,
            "reasons": [f"{reason[:1].upper()}{reason[1:]}" for reason in sheet.ask.reasons],
        },
        "trend": _trend(sheet),
        "answers": list(sheet.answers),
        "dates": f"Reviewed {display.day(sheet.made)}. We look at the same chart again by {display.day(sheet.again)}.",
        "foot": f"{sheet.version} · made {clock(sheet.made)}",
        "caution": sheet.caution,
        "paper": sheet.paper,
        "region": region(sheet.paper),
    }


def _period(sheet: WardSheet) -> str:
    if sheet.first is None or sheet.last is None:
        return ""
    return f"{display.day(sheet.first)} to {display.day(sheet.last)}"


def _trend(sheet: WardSheet) -> dict[str, object]:
    """The chart with its words; a chart that holds nothing is left out and said."""
    followed = sheet.trend.followed
    title = f"Our own weeks: {followed.what}"
    heading = {"title": title, "said": sheet.trend.said, "key": sheet.trend.key}
    if not followed.drawable:
        return {**heading, "svg": "", "alt": ""}
    # The ward's own name stands at the top of the sheet; the events are its own or the whole hospital's.
    events = [replace(event, ward="") for event in sheet.trend.events]
    drawn = share_chart(share_points(followed), events, measure=followed.title, width=WIDTH, height=HEIGHT)
    return {**heading, "svg": drawn.svg, "alt": drawn.sentence}
