"""The three numbers of page 1: the most useful of those that this book can honestly give."""

from collections.abc import Mapping, Sequence

from browline import display
from browline.documents.review import InstrumentRow, ReviewDocument, SiteRow
from browline.documents.supplement import Supplement
from browline.quantities.shares import wilson
from browline.services.review.report.document import Number
from browline.services.review.report.shares import true_among
from browline.services.review.report.status import Found, by_instrument, checked, is_open

HOW_MANY = 3


def three_numbers(document: ReviewDocument, findings: Sequence[Found], unit: str) -> tuple[Number, ...]:
    """The first three of these that the data can fill, in this order."""
    candidates = (
        unreliable_share(document.supplement),
        instruments_flagged(document, findings),
        confirmed_on_check(findings),
        site_difference(document, unit),
        site_not_charted(document),
        set_aside(document.supplement),
    )
    return tuple(number for number in candidates if number is not None)[:HOW_MANY]


def unreliable_share(supplement: Supplement) -> Number | None:
    """Readings that cannot be relied on, of all readings taken."""
    months = supplement.months
    n, total = sum(m.unreliable for m in months), sum(m.readings for m in months)
    return _share("of charted temperatures cannot be relied on", n, total, "readings")


def instruments_flagged(document: ReviewDocument, findings: Sequence[Found]) -> Number | None:
    """Instruments whose charted readings ask for a check, of those with enough readings to judge."""
    flagged = by_instrument([f for f in findings if is_open(f)])
    judged = {i.instrument for i in document.instruments if _judged(i)}
    judged |= set(flagged)
    if not judged:
        return None
    likely = _likely_true(flagged, document.supplement.false_share)
    value = f"{len(flagged)} of {len(judged)}"
    basis = f"{len(judged)} had enough readings to judge"
    return Number(
        label="instruments now flagged for a check",
        value=value,
        interval=likely,
        basis=basis,
        n=len(flagged),
        of=len(judged),
    )


def _judged(instrument: InstrumentRow) -> bool:
    return instrument.low_c is not None and instrument.n >= display.FEWEST


def _likely_true(flagged: Mapping[str, Sequence[Found]], false_share: float) -> str:
    surest = [max((f.probability or 0.0 for f in group), default=0.0) for group in flagged.values()]
    if not surest:
        return "none stands out"
    if not all(surest):
        return f"at most {display.percent(false_share)} of flags expected to be false alarms"
    if len(surest) == 1:
        return _single(surest[0])
    low, high = true_among(surest)
    return f"likely {low if low == high else f'{low} to {high}'} of them truly off (95 %)"


def _single(probability: float) -> str:
    return f"chance that it is truly off: {display.chance(probability)}"


def confirmed_on_check(findings: Sequence[Found]) -> Number | None:
    """What checking the flagged instruments has shown so far."""
    tally = checked(findings)
    if tally.checked == 0:
        return None
    low, high = wilson(tally.confirmed, tally.checked)
    basis = f"{tally.checked} checked" + (f", {tally.not_found} not found" if tally.not_found else "")
    interval = f"{display.share_span(low, high, tally.checked)} of those checked (95 % interval)"
    label = f"of {tally.flagged} flagged, confirmed on check"
    return Number(
        label=label,
        value=f"{tally.confirmed}",
        interval=interval,
        basis=basis,
        n=tally.confirmed,
        of=tally.checked,
        low=low,
        high=high,
    )


def site_difference(document: ReviewDocument, unit: str) -> Number | None:
    """How the most charted site reads against the reference site, at 37 °C."""
    reference = document.reference_site
    sites = [s for s in document.sites if _known(s) and s.site != reference]
    if not sites or not reference:
        return None
    site = max(sites, key=lambda s: s.n)
    offset = site.offset_c
    if offset is None:
        return None
    label = f"{site.site} against {reference} readings, at 37 °C"
    value = display.difference(offset, unit)
    interval = display.span(site.low_c, site.high_c, unit)
    basis = display.many(site.n, f"{site.site} reading")
    return Number(
        label=label,
        value=value,
        interval=f"95 % interval {interval}",
        basis=basis,
        n=site.n,
        low=site.low_c,
        high=site.high_c,
    )


def _known(site: SiteRow) -> bool:
    return site.site != "unknown" and site.offset_c is not None and site.n >= display.FEWEST


def site_not_charted(document: ReviewDocument) -> Number | None:
    """Readings whose site is missing or ambiguous."""
    sites = {s.site: s.n for s in document.sites}
    if "unknown" not in sites:
        return None
    return _share("of readings have no clear site charted", sites["unknown"], sum(sites.values()), "readings")


def set_aside(supplement: Supplement) -> Number | None:
    """Rows of the files that could not be taken."""
    imports = [i for i in supplement.imports if i.kind == "readings"]
    n, total = sum(i.set_aside for i in imports), sum(i.rows for i in imports)
    return _share("of rows could not be read and were set aside", n, total, "rows")


def _share(label: str, n: int, total: int, unit: str) -> Number | None:
    if total < display.FEWEST:
        return None
    low, high = wilson(n, total)
    interval = f"95 % interval {display.share_span(low, high, total)}"
    return Number(
        label=label,
        value=display.share(n / total),
        interval=interval,
        basis=f"{display.number(n)} of {display.number(total)} {unit}",
        n=n,
        of=total,
        low=low,
        high=high,
    )
