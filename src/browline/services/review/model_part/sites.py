"""How every site reads against the reference site, in words: one row a site, the same on page and paper."""

from dataclasses import dataclass

from browline import display
from browline.services.review import rows
from browline.services.review.model_rows import MovedRow, SitePart
from browline.services.review.rows import Document
from browline.services.review.supplement_rows import Supplement

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


def site_rows(result: Document, supplement: Supplement, unit: str) -> tuple[SiteRow, ...]:
    """Every site of a review, in its order; sites that nobody named come without a comparison."""
    kept = {s["site"]: s for s in (supplement.get("model") or {}).get("sites") or []}
    return tuple(
        _row(s, kept.get(s["site"]) or {"site": s["site"]}, result.get("reference_site"), unit)
        for s in result.get("sites") or []
    )


def _row(s: rows.SiteRow, kept: SitePart, reference: str | None, unit: str) -> SiteRow:
    if s["site"] == reference:
        return SiteRow(
            site=str(s["site"]),
            n=display.count(s["n"]),
            reference=True,
            offset="–",
            interval="–",
            slope="–",
            slope_interval="–",
            pairs_n="–",
            pairs="–",
            pairs_interval="–",
        )
    pairs: rows.PairsRow = s.get("pairs") or {}
    offset, interval = told(s, s["n"], unit)
    paired, paired_interval = told(pairs, pairs.get("n") or 0, unit)
    rise, rise_interval = slope(s)
    return SiteRow(
        site=str(s["site"]),
        n=display.count(s["n"]),
        reference=False,
        offset=offset,
        interval=interval,
        slope=rise,
        slope_interval=rise_interval,
        pairs_n=display.count(pairs.get("n") or 0),
        pairs=paired,
        pairs_interval=paired_interval,
        pairs_note=_stands(pairs, kept, unit),
        differ=_differ(s, pairs, unit),
        typical=typical(s.get("offset_c"), kept.get("typical_c"), unit),
        uncharted=tuple(_moved(m, unit) for m in kept.get("uncharted") or []),
        uncharted_at=_level(kept, unit),
        checks=tuple((c["sentence"], c["advice"]) for c in kept.get("checks") or [] if c["answer"] == "seen"),
    )


def told(part: rows.SiteRow | rows.PairsRow, n: int, unit: str) -> tuple[str, str]:
    """An offset and its 95 % interval, or that there are too few readings."""
    offset = part.get("offset_c")
    if n < display.FEWEST or offset is None:
        return "–", TOO_FEW
    return display.difference(offset, unit), display.span(part.get("low_c"), part.get("high_c"), unit)


def slope(site: rows.SiteRow) -> tuple[str, str]:
    """The site's rise for one degree of the reference and its interval, or that it is taken as one for one."""
    if site.get("slope") is None:
        return ONE_FOR_ONE, "–"
    return f"{site['slope']:.2f}", f"{site['slope_low']:.2f} to {site['slope_high']:.2f}"


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


def _stands(pairs: rows.PairsRow, kept: SitePart, unit: str) -> str:
    """Where the pairs stand if they could not be moved to 37.0 °C."""
    return "" if pairs.get("offset_c") is None or kept.get("pairs_at_37") else _level(kept, unit)


def _level(kept: SitePart, unit: str) -> str:
    level = kept.get("pairs_level_c")
    return "" if level is None else f"at {display.temperature(level, unit)}"


def _differ(site: rows.SiteRow, pairs: rows.PairsRow, unit: str) -> str:
    modelled, paired = site.get("offset_c"), pairs.get("offset_c")
    if (pairs.get("n") or 0) < display.FEWEST or modelled is None or paired is None:
        return ""
    if abs(modelled - paired) <= APART_C:
        return ""
    gap = display.difference(abs(modelled - paired), unit).lstrip("+")
    return f"The two ways differ for {site['site']} by {gap}: use the wider interval."


def _moved(moved: MovedRow, unit: str) -> tuple[str, str, str]:
    return (
        f"{100 * moved['share']:.0f} in 100",
        display.difference(moved["offset_c"], unit),
        display.span(moved["low_c"], moved["high_c"], unit),
    )
