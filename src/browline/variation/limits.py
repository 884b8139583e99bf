"""What the review cannot say, in sentences."""

from collections.abc import Iterator

from browline.variation.outcome import Outcome
from browline.variation.result import Result
from browline.variation.words import degrees

SMALL_FLEET = 10
WHOLE_FLEET = (
    "The whole fleet may be off by the same amount: charted readings only compare instruments with each other,"
    " and a check against a reference is needed to see it."
)
SLOPES = (
    "Every site is taken to rise one for one with fever; a site that squeezes fever would look low in patients"
    " with fever and high in cold ones."
)
STEPS = "An instrument that sinks slowly is shown here as one step, dated to a week."
UNCHARTED = (
    "Site comparisons take every first reading of a quick pair as charted; how they would move if some were left"
    " out is not worked out here."
)
CLUSTERS = "How a patient's temperature moves within a stay is seen only as readings within 30 minutes of each other."
LOG_IN = "Who charted a reading may be a shared log-in, so a result under a name may be several people's."


def limits(result: Result, *, people: bool = False) -> tuple[str, ...]:
    """Every sentence that has to stand beside the findings."""
    return tuple(_all(result, people))


def _all(result: Result, people: bool) -> Iterator[str]:
    yield WHOLE_FLEET
    if result.outcome is not Outcome.CONVERGED:
        yield result.outcome.sentence
    yield from result.dropped
    yield from _counted(result)
    if result.outcome.usable and len(result.sites) > 1:
        yield SLOPES
        yield from _sites(result)
    if result.instruments:
        yield STEPS
    if result.spread.course_sd_c is not None:
        yield CLUSTERS
    if people and result.people:
        yield LOG_IN


def _counted(result: Result) -> Iterator[str]:
    if result.counts.set_aside:
        yield f"{result.counts.set_aside} readings outside 30 to 44 °C were left out of the comparison."
    if result.counts.without_site:
        yield f"{result.counts.without_site:,} readings that say no site were left out of the comparison."
    if 2 <= result.counts.instruments < SMALL_FLEET:
        yield (
            f"The fleet has {result.counts.instruments} instruments; with fewer than {SMALL_FLEET} the intervals"
            " may be too short."
        )
    if result.stay_of_patient:
        yield "The chart does not mark stays, so all readings of a patient count as one stay."


def _sites(result: Result) -> Iterator[str]:
    for site in result.sites:
        if site.disagrees and site.pairs is not None and site.pairs.offset_c is not None:
            yield (
                f"For {site.site} against {result.reference_site} the model says {degrees(site.offset_c)} and"
                f" quick pairs say {degrees(site.pairs.offset_c)}; the wider interval is shown."
            )
    if any(site.pairs is not None and site.pairs.offset_c is None for site in result.sites):
        yield "Some sites have too few quick pairs to check the model against."
    if any(site.pairs is not None and site.pairs.offset_c is not None for site in result.sites):
        yield UNCHARTED
