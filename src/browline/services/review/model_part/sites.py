"""How every site reads against the reference site, in words: one row a site, the same on page and paper."""

from dataclasses import dataclass

from browline import display
from browline.documents import review
from browline.documents.model import ModelPart, SitePart, UnchartedRow
from browline.documents.review import PairsRow, ReviewDocument

APART_C = 0.05
ONE_FOR_ONE = "taken as one for one"
TOO_FEW = "too few to tell"
WAYS = (
    "Worked out in two ways, at 37.0 °C: from all readings of the same stays by one model, and from quick pairs,"
    " two sites of one patient within minutes. Where they differ, readings repeated because something looked wrong may"
    " be the reason, and the wider interval stands."
)
UNCHARTED = (
    "If a surprising first reading is not charted and only its repeat is, quick pairs mislead. This is how the answer"
    " of the pairs would move if so many of the first readings that led to a repeat were never charted; it stands at"
    " the mean temperature of the first readings, not at 37.0 °C."
)
SLOPE = (
    "How far the site rises where the reference rises by one degree; below 1 it makes a fever look smaller."
)


@dataclass(frozen=True)
class SiteRow:
    """One site in words.

    - `offset` with `interval`, both at 37.0 °C; `slope` with `slope_interval`. `pairs` with `pairs_interval`,
      `pairs_n` of them, `pairs_note`: where they stand, if not at 37.0.
    - `differ`: how far the two ways are apart where that is more than 0.05 °C. `typical`: where a typical reading
      differs from the average one by more than 0.1 °C.
    - `uncharted`: (share, offset, interval), which stand at `uncharted_at`.
    - `checks`: (sentence, advice) of what was seen or cannot be told.
    """

    site: str
    n: str
    reference: bool
    offset: str
    interval: str
    slope: str
    slope_interval: str
    pairs_n: str
    pairs: str
    pairs_interval: str
    pairs_note: str = ""
    differ: str = ""
    typical: str = ""
    uncharted: tuple[tuple[str, str, str], ...] = ()
    uncharted_at: str = ""
    checks: tuple[tuple[str, str], ...] = ()


def site_rows(document: ReviewDocument, unit: str) -> tuple[SiteRow, ...]:
    """Every site of a review, in its order; sites that nobody named come without a comparison."""
    parts = {s.site: s for s in (document.supplement.model or ModelPart()).sites}
    return tuple(
        _row(s, parts.get(s.site) or SitePart(site=s.site), document.reference_site, unit)
        for s in document.sites
    )


def _row(s: review.SiteRow, part: SitePart, reference: str | None, unit: str) -> SiteRow:
    if s.site == reference:
        return SiteRow(
            site=s.site,
            n=display.count(s.n),
            reference=True,
            offset="–",
            interval="–",
            slope="–",
            slope_interval="–",
            pairs_n="–",
            pairs="–",
            pairs_interval="–",
        )
    pairs = s.pairs
    offset, interval = offset_words(s, unit)
    paired, paired_interval = offset_words(pairs, unit)
    rise, rise_interval = slope(s)
    return SiteRow(
        site=s.site,
        n=display.count(s.n),
        reference=False,
        offset=offset,
        interval=interval,
        slope=rise,
        slope_interval=rise_interval,
        pairs_n=display.count(pairs.n),
        pairs=paired,
        pairs_interval=paired_interval,
        pairs_note=_stands(pairs, part, unit),
        differ=_differ(s, pairs, unit),
        typical=typical(s.offset_c, part.typical_c, unit),
        uncharted=tuple(_uncharted(m, unit) for m in part.uncharted),
        uncharted_at=_level(part, unit),
        checks=tuple((c.sentence, c.advice) for c in part.checks if c.answer == "seen"),
    )


def offset_words(row: review.SiteRow | PairsRow, unit: str) -> tuple[str, str]:
    """An offset and its 95 % interval, or that there are too few readings."""
    if row.n < display.FEWEST or row.offset_c is None:
        return "–", TOO_FEW
    return display.difference(row.offset_c, unit), display.span(row.low_c, row.high_c, unit)


def slope(site: review.SiteRow) -> tuple[str, str]:
    """The site's rise for one degree of the reference and its interval, or that it is taken as one for one."""
    size, low, high = site.slope, site.slope_low, site.slope_high
    if size is None or low is None or high is None:
        return ONE_FOR_ONE, "–"
    return display.decimal(size, 2), f"{display.decimal(low, 2)} to {display.decimal(high, 2)}"


def typical(average_c: float | None, typical_c: float | None, unit: str, least_c: float = 0.1) -> str:
    """What a typical reading says where it differs from the average one by more than `least_c`; else nothing."""
    if average_c is None or typical_c is None or abs(average_c - typical_c) <= least_c:
        return ""
    return (
        f"The average reading is {display.difference(average_c, unit)} off, a typical one only"
        f" {display.difference(typical_c, unit)}: some readings are far off, most are not."
        if abs(typical_c) < abs(average_c)
        else f"A typical reading is {display.difference(typical_c, unit)} off; the average,"
        f" {display.difference(average_c, unit)}, is moved by some that lie far on the other side."
    )


def _stands(pairs: PairsRow, part: SitePart, unit: str) -> str:
    """Where the pairs stand if they could not be moved to 37.0 °C."""
    return "" if pairs.offset_c is None or part.pairs_at_37 else _level(part, unit)


def _level(part: SitePart, unit: str) -> str:
    level = part.pairs_level_c
    return "" if level is None else f"at {display.temperature(level, unit)}"


def _differ(site: review.SiteRow, pairs: PairsRow, unit: str) -> str:
    modelled, paired = site.offset_c, pairs.offset_c
    if pairs.n < display.FEWEST or modelled is None or paired is None:
        return ""
    if abs(modelled - paired) <= APART_C:
        return ""
    gap = display.difference(abs(modelled - paired), unit).lstrip("+")
    return f"The two ways differ for {site.site} by {gap}: use the wider interval."


def _uncharted(row: UnchartedRow, unit: str) -> tuple[str, str, str]:
    return (
        display.chance(row.share),
        display.difference(row.offset_c, unit),
        display.span(row.low_c, row.high_c, unit),
    )
