"""The months behind the chart of page 1, and whether they are months at all."""

from collections.abc import Sequence

from browline import display
from browline.documents.supplement import MonthRow, Supplement
from browline.services.review.report.document import Grid

MOST_MONTHS = 120

Months = Sequence[MonthRow]


def scattered(months: Months) -> str:
    """A sentence where the dates cannot be calendar dates; empty where they can.

    Exports made safe for sharing often shift each patient's dates by years, so that the months of different
    patients are not the same months. More than ten years with more empty months than full ones is read so.
    """
    if not months:
        return ""
    first, last = months[0].month, months[-1].month
    span = 12 * (int(last[:4]) - int(first[:4])) + int(last[5:7]) - int(first[5:7]) + 1
    if span <= MOST_MONTHS or span <= 2 * len(months):
        return ""
    return (
        f"Dates run from {display.month(first)} to {display.month(last)} with most months "
        "empty, as if shifted for each "
        "patient: nothing can be said about change over time."
    )


def in_numbers(supplement: Supplement) -> list[Grid]:
    """The numbers behind the chart of page 1, where there is one."""
    months = supplement.months
    if not months or scattered(months):
        return []
    headings = ("month", "readings", "cannot be relied on", "share")
    return [Grid("The chart of page 1 in numbers", headings, tuple(map(_month, months)), (1, 2, 3))]


def _month(m: MonthRow) -> tuple[str, ...]:
    name, n = display.month(m.month), m.readings
    if n < display.FEWEST:
        return (name, display.count(n), "–", "–")
    return (name, display.count(n), display.number(m.unreliable), display.share(m.unreliable / n))
