"""The upright axis of a share: per cents, and what they are of above it, to be read without turning the head."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import altair as alt

# How far over the chart it stands; with events, their letters come between.
ABOVE, OVER_LETTERS = -8, -24


def percent(title: str, above: int = ABOVE) -> "alt.Axis":
    """An axis of a share in [0, 1], its title `above` (negative: up) the chart."""
    import altair as alt

    return alt.Axis(
        labelExpr="format(100 * datum.value, '.2~f') + ' %'",
        tickCount=5,
        title=title,
        titleAngle=0,
        titleAlign="left",
        titleBaseline="bottom",
        titleAnchor="start",
        titleX=0,
        titleY=above,
    )
