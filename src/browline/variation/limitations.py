"""What the review cannot say, in sentences."""

from collections.abc import Iterator

from browline import display
from browline.variation.outcome import Outcome
from browline.variation.result import Result
from browline.variation.retakes import Answer, Sign
from browline.variation.words import degrees

SMALL_FLEET = 5
WHOLE_FLEET = (
    "The whole fleet may be off by the same amount: charted readings only compare instruments with each other,"
    " and a check against a reference is needed to see it."
)
SLOPES = (
    "These sites were hardly read in the same stays over a range of temperatures and are taken to rise one for one"
    " with fever; one that squeezes fever would look low in patients with fever and high in cold ones: {sites}."
)
STEPS = "A sudden change of an instrument is dated to a week."
NOT_YET = (
    "{number} instruments are used mostly by mouth or in the armpit. They are not judged yet, nor are wards and people"
    " who mostly read there: technique and instrument are not told apart at these sites. It does not mean that they"
    " read right; a check against a reference tells."
)
NO_CLEANINGS = (
    "When lenses were cleaned is not known well enough, so an instrument that sinks between cleanings shows as a step"
    " or as a steady offset."
)
COURSE = (
    "A patient's course is taken as one that wanders and forgets within {hours:.0f} hours; surges of fever are taller"
    " than that, and intervals are widened for what stays show of it."
)
LOG_IN = "Who charted a reading may be a shared log-in, so a result under a name may be several people's."


def limits(result: Result, *, people: bool = False) -> tuple[str, ...]:
    """Every sentence that has to stand beside the findings."""
    return tuple(_all(result, people))


def _all(result: Result, people: bool) -> Iterator[str]:
    if result.unlike is not None:
        yield result.unlike.sentence
    yield WHOLE_FLEET
    if result.outcome is not Outcome.CONVERGED:
        yield result.outcome.sentence
    yield from result.dropped
    yield from _counted(result)
    if result.outcome.usable and len(result.sites) > 1:
        yield from _slopes(result)
        yield from _sites(result)
    if not_judged := sum(not effect.judged for effect in result.instruments):
        yield NOT_YET.format(
            number=f"{display.number(not_judged)} of {display.number(len(result.instruments))}"
        )
    if result.instruments:
        yield STEPS
        if all(effect.drift is None for effect in result.instruments):
            yield NO_CLEANINGS
    if result.spread.course_hours is not None:
        yield COURSE.format(hours=result.spread.course_hours)
    if people and result.people and result.unlike is None:
        yield LOG_IN


def _counted(result: Result) -> Iterator[str]:
    if result.counts.set_aside:
        yield f"{result.counts.set_aside} readings outside 30 to 44 °C were left out of the comparison."
    if result.counts.without_site:
        yield f"{display.number(result.counts.without_site)} readings that say no site were left out of the comparison."
    if 2 <= result.counts.instruments < SMALL_FLEET:
        yield (
            f"The fleet has {result.counts.instruments} instruments; with fewer than {SMALL_FLEET} little can be told"
            " of what is usual: intervals may be wider than need be, and where one instrument was truly off they held"
            " in about 90 of 100 invented fleets of three."
        )
    if result.stay_of_patient:
        yield "The chart does not mark stays, so all readings of a patient count as one stay."


def _sites(result: Result) -> Iterator[str]:
    for site in result.sites:
        pairs = site.pairs.offset_at_37 or site.pairs if site.pairs is not None else None
        if site.disagrees and pairs is not None and pairs.offset_c is not None:
            yield (
                f"For {site.site} against {result.reference_site} the model says {degrees(site.offset_c)} and"
                f" quick pairs say {degrees(pairs.offset_c)}; the wider interval is shown."
            )
    if any(site.pairs is not None and site.pairs.offset_c is None for site in result.sites):
        yield "Some sites have too few quick pairs to check the model against."
    yield from _checks(result)


def _slopes(result: Result) -> Iterator[str]:
    """Which sites are taken to rise one for one because nothing tells."""
    sites = [site.site for site in result.sites[1:] if site.slope is None]
    if sites:
        yield SLOPES.format(sites=", ".join(sites))


def _checks(result: Result) -> Iterator[str]:
    """What the quick pairs show against their own estimate, and how it moves if first readings were not charted."""
    for site in result.sites:
        for check in site.checks:
            if check.answer is Answer.SEEN and check.sign is not Sign.DISAGREE:
                yield f"{site.site} against {result.reference_site}: {check.sentence} {check.advice}"
        if site.pairs is not None and site.pairs.sensitivity:
            first, last = site.pairs.sensitivity[0], site.pairs.sensitivity[-1]
            yield (
                f"If {display.percent(last.share)} of the first readings that led to a retake were never charted,"
                " the quick pairs"
                f" would put {site.site} {degrees(last.offset_c)} instead of {degrees(first.offset_c)} against"
                f" {result.reference_site}."
            )
