"""The charts of the wards, each drawn twice: wide, and narrow for a telephone."""

from collections.abc import Callable, Sequence

from browline.documents.supplement import EventRow
from browline.figures import Figure, funnel_chart, instruments_chart, share_chart
from browline.services.review.wards import Followed, Ward
from browline.services.review.wards.compared import funnel_rows, instrument_rows, limit_rows, site_funnel
from browline.services.review.wards.trend import share_points
from browline.web.charts import NARROW, Chart, both

WIDE = 760
REGISTERED = "instruments of the ward, per ten patients"
CHARTED = "instruments charted in a week, per ten patients"


def weeks_chart(followed: Followed, ward: str, events: Sequence[EventRow]) -> Chart | None:
    """The share followed by week, with what happened when; None with fewer than two weeks to draw."""
    if followed.chart is None or not followed.drawable:
        return None
    points, title = share_points(followed), f"{followed.title}, {ward}, by week"
    # How often the limits are wrong means nothing where there are none.
    caveat = followed.chart.error_rate if followed.limited else ""
    return _twice(
        title,
        lambda width: share_chart(
            points, events, measure=followed.title, subject=ward, caveat=caveat, width=width
        ),
    )


def site_chart(wards: Sequence[Ward]) -> Chart | None:
    """Readings without a site against what is usual for wards of each size; None where no usual can be told."""
    funnel = site_funnel(wards)
    if funnel is None or all(u.proportion is None for u in funnel.units):
        return None
    rows, limits, measure = funnel_rows(funnel), limit_rows(funnel), "Share of readings without a site"
    return _twice(
        f"{measure}, by ward",
        lambda width: funnel_chart(
            rows,
            limits,
            funnel.centre,
            measure=measure,
            caveat=funnel.error_rate if limits else "",
            width=width,
        ),
    )


def availability_chart(wards: Sequence[Ward]) -> Chart | None:
    """Instruments for ten patients beside the share unlikely to have been measured; None where never charted."""
    rows = instrument_rows(wards)
    if all(row.per_ten_beds is None for row in rows):
        return None
    across = REGISTERED if any(w.from_register for w in wards) else CHARTED
    return _twice(
        "Instruments at hand, by ward", lambda width: instruments_chart(rows, across=across, width=width)
    )


def _twice(title: str, draw: Callable[[int], Figure]) -> Chart:
    wide, narrow = draw(WIDE), draw(NARROW)
    return both(title, wide, narrow)
