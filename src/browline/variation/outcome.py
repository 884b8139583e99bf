"""How a fit can end: a closed list, each with a sentence and what to do."""

from enum import StrEnum


class Outcome(StrEnum):
    """How the fit ended."""

    CONVERGED = "converged"
    BOUNDARY = "on-the-boundary"
    NOT_IDENTIFIED = "not-identified"
    STEPS = "ran-out-of-steps"
    TOO_FEW = "too-few-readings"

    @property
    def usable(self) -> bool:
        """Whether estimates may be shown."""
        return self in (Outcome.CONVERGED, Outcome.BOUNDARY)

    @property
    def sentence(self) -> str:
        """What happened, and what to do about it."""
        return _SENTENCES[self]


_SENTENCES = {
    Outcome.CONVERGED: "The spread was split into its sources without trouble; nothing to do.",
    Outcome.BOUNDARY: (
        "At least one source of spread is too small to see in these readings and is put at zero where the model is"
        " fitted; intervals of instruments and wards carry the doubt about it; add more months before reading the"
        " members of a kind as equal."
    ),
    Outcome.NOT_IDENTIFIED: (
        "These readings cannot hold the comparison: sources of spread always change together, or nothing varies;"
        " import a longer period, or more wards and instruments."
    ),
    Outcome.STEPS: (
        "The computation stopped before it settled, so no instrument, ward or person is reported; look for"
        " unlikely values among the readings, then review again."
    ),
    Outcome.TOO_FEW: "Too few readings to tell anything; import a longer period and review again.",
}
