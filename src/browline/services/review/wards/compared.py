"""The wards side by side, as rows for the charts: what chance brings is drawn with them, ranks are not."""

from collections.abc import Sequence

from browline.audit.overtime import Funnel, funnel
from browline.documents.charts import FunnelLimit, FunnelUnit, WardInstruments
from browline.findings import UNMEASURED
from browline.services.review.wards.from_review import Ward

LIMITS = {"low998": 0.001, "low95": 0.025, "high95": 0.975, "high998": 0.999}
STEPS = 60


def site_funnel(wards: Sequence[Ward]) -> Funnel | None:
    """Readings without a site, ward by ward; None where there is no ward."""
    if not wards:
        return None
    return funnel([w.name for w in wards], [w.site_missing for w in wards], [w.n for w in wards])


def funnel_rows(chart: Funnel) -> list[FunnelUnit]:
    """Each ward's place in the funnel."""
    return [
        FunnelUnit(name=u.name, n=u.total, share=u.proportion, stands=u.position.value) for u in chart.units
    ]


def limit_rows(chart: Funnel) -> list[FunnelLimit]:
    """The funnel's limits over the span of readings that its wards have; none where no spread could be told."""
    from numpy import geomspace

    totals_drawn = [u.total for u in chart.units if u.proportion is not None]
    if not totals_drawn:
        return []
    # A little beyond the smallest and the largest ward, so that the lines reach both edges of the chart.
    totals = sorted(
        {int(n) for n in geomspace(max(1, min(totals_drawn) / 1.4), max(totals_drawn) * 1.4, STEPS)}
    )
    columns = {name: chart.limits(chance, totals) for name, chance in LIMITS.items()}
    return [
        FunnelLimit(n=n, **{name: float(limits[i]) for name, limits in columns.items()})
        for i, n in enumerate(totals)
    ]


def instrument_rows(wards: Sequence[Ward]) -> list[WardInstruments]:
    """Instruments at hand for ten patients beside the share unlikely to have been measured."""
    return [_instruments_row(w) for w in wards]


def _instruments_row(w: Ward) -> WardInstruments:
    low, high = _span(w)
    return WardInstruments(
        ward=w.name,
        per_ten_beds=w.per_ten,
        share=None if w.few else w.unlikely,
        low=low,
        high=high,
        n=w.n,
    )


def unlikely_share(wards: Sequence[Ward]) -> tuple[float, float, float]:
    """Share of all readings unlikely to have been measured, with a 95 % interval; wards taken as independent.

    Each ward's half-widths are summed in squares, weighted by its readings.
    """
    n = sum(w.n for w in wards)
    if not n:
        return 0.0, 0.0, 0.0
    share = sum(w.n * w.unlikely for w in wards) / n
    below, above = 0.0, 0.0
    for w in wards:
        low, high = _interval(w)
        below += (w.n * (w.unlikely - low)) ** 2
        above += (w.n * (high - w.unlikely)) ** 2
    return share, max(0.0, share - below**0.5 / n), min(1.0, share + above**0.5 / n)


def _interval(ward: Ward) -> tuple[float, float]:
    """The interval of the unlikely share: as wide for its size as those of what was seen."""
    positives = [a for a in ward.seen if a.test in UNMEASURED and a.effect]
    effect = sum(a.effect or 0.0 for a in positives)
    if not effect:
        return ward.unlikely, ward.unlikely
    low, high = (sum(getattr(a, end) for a in positives) / effect for end in ("low", "high"))
    return ward.unlikely * low, min(1.0, ward.unlikely * high)


def _span(ward: Ward) -> tuple[float, float]:
    """The same interval, reaching at least as far up as the tests that saw nothing leave open."""
    low, high = _interval(ward)
    quiet = [a for a in ward.answers if a.test in UNMEASURED and not a.seen and a.high]
    open_to = max((max(0.0, a.high or 0.0) * a.n / ward.n for a in quiet), default=0.0)
    return low, min(1.0, max(high, open_to))
