"""How a look over time or between wards can end: closed lists, each with a sentence and what to do."""

from enum import StrEnum


class Outcome(StrEnum):
    """What a chart over time says."""

    STEADY = "steady"
    SHIFTED = "shifted"
    OUTSIDE = "points-outside"
    TOO_FEW = "too-few-to-tell"

    @property
    def sentence(self) -> str:
        """What it means, and what to do about it."""
        return _CHARTS[self]


class FunnelPosition(StrEnum):
    """Where one ward stands in a funnel."""

    INSIDE = "inside"
    LOW = "outside-low"
    HIGH = "outside-high"
    TOO_FEW = "too-few-to-tell"

    @property
    def sentence(self) -> str:
        """What it means, and what to do about it."""
        return _UNITS[self]


_CHARTS = {
    Outcome.STEADY: "No more change than chance brings; go on as before and look again next month.",
    Outcome.SHIFTED: (
        "The level has changed by more than chance brings; ask what changed about then on the ward, in the form"
        " or among the instruments."
    ),
    Outcome.OUTSIDE: (
        "Single points differ by more than chance brings; look at those dates with the ward before anything else."
    ),
    Outcome.TOO_FEW: "Too few to tell; wait for more, or look at months instead of weeks.",
}
_UNITS = {
    FunnelPosition.INSIDE: "No further from the others than chance and the usual differences between wards bring.",
    FunnelPosition.LOW: (
        "Lower than chance and the usual differences bring; ask what is done differently there, it may be worth"
        " doing elsewhere."
    ),
    FunnelPosition.HIGH: (
        "Higher than chance and the usual differences bring; look at the charting form and for missing instruments"
        " before anything else."
    ),
    FunnelPosition.TOO_FEW: "Too few to tell; look at a longer period.",
}
