"""Charts: what is drawn for the pages and for the paper, as specifications turned into SVG.

Each function takes rows of documents and returns a `Figure`: the drawing, one sentence that says what it shows, and
the table behind it. Nothing is told by colour alone, and the drawings carry no style attributes, so that
they stand inline under a strict content security policy.

    run_chart(months, events)                        share that cannot be relied on, by month
    weekly_chart(points, subject, since, tolerance)  one instrument or ward against its comparator, by week
    interval_chart(rows)                             estimates with their intervals, one row each
    stay_chart(readings)                             the readings of one stay
    share_chart(points, events)                      a share by week or month with its usual range
    funnel_chart(units, limits, centre)              wards against what is usual for their number of readings
    instruments_chart(rows)                          instruments at hand beside readings unlikely to be measured
    pareto_chart(rows, total, said)                  causes in order, with what they add up to
    around_chart(months)                             months before and after sign-off, against the month before it
"""

from browline.figures.around import around_chart
from browline.figures.coverage import SUBSTITUTE, printable
from browline.figures.figure import Figure, Table
from browline.figures.funnel import funnel_chart
from browline.figures.instruments import instruments_chart
from browline.figures.interval import interval_chart
from browline.figures.monthly import run_chart
from browline.figures.pareto import pareto_chart
from browline.figures.shares import share_chart
from browline.figures.stay import stay_chart
from browline.figures.typeface import FONT_FAMILY, font_folder
from browline.figures.weekly import weekly_chart

__all__ = [
    "FONT_FAMILY",
    "SUBSTITUTE",
    "Figure",
    "Table",
    "around_chart",
    "font_folder",
    "funnel_chart",
    "instruments_chart",
    "interval_chart",
    "pareto_chart",
    "printable",
    "run_chart",
    "share_chart",
    "stay_chart",
    "weekly_chart",
]
