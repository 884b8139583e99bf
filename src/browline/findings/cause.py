"""A likely cause of a finding."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Cause:
    """A likely cause, its probability in [0, 1] among the causes listed, and what would tell it apart.

    `action`: the next step where it is the likeliest; empty where it asks for no step of its own.
    """

    cause: str
    probability: float | None
    tell_apart: str = ""
    action: str = ""


def unweighed(*causes: str) -> tuple[Cause, ...]:
    """Causes in the order to ask about them, innocent ones first, without probabilities."""
    return tuple(Cause(cause, None) for cause in causes)
