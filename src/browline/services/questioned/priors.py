"""What a questioned reading is judged with: published values, and the book's own estimates in their place.

    priors, sources = priors_in_use()

The book speaks by its last whole review. Every source says in a sentence where its figure comes from.
"""

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

from browline import display
from browline.documents.model import ModelPart, ModelSpread
from browline.quantities.sites import SITE_NAMES, TEMPORAL
from browline.questioned.priors import Course, Priors
from browline.questioned.published import intensive, published
from browline.services.questioned.book_instruments import by_mode, reviewed
from browline.services.questioned.book_sites import sites_of
from browline.services.questioned.sources import COURSE, SITE, Source
from browline.store.models import Review, last_whole_review

# A wandering outside these is a fit gone astray, not a patient: °C, and hours.
SANE_SD_C, SANE_HOURS = (0.05, 1.0), (1.0, 200.0)


class InUse(NamedTuple):
    """The priors in use, and where each figure comes from."""

    priors: Priors
    sources: tuple[Source, ...]


def priors_in_use() -> InUse:
    """The published priors, replaced by the book's estimates where its last whole review has them.

    An instrument that the review does not know is heeded by its mode in the register.
    """
    review = last_whole_review()
    priors, sources = as_published() if review is None else _of_review(review)
    modes, of_modes = by_mode(priors.sites)
    named, of_named = ({}, {}) if review is None else reviewed(review, display.day(review.at))
    instruments = MappingProxyType({**modes, **named})
    moded = {name: source for name, source in of_modes.items() if name not in named}
    told = (*sources, *{**of_named, **moded}.values())
    return InUse(replace(priors, instruments=instruments), _book_first(told))


def _book_first(sources: Iterable[Source]) -> tuple[Source, ...]:
    return tuple(sorted(sources, key=lambda source: not source.of_the_book))


def as_published() -> InUse:
    """The priors as they come with the program."""
    priors = published()
    sites = tuple(
        Source(SITE, name, _published_site(name, site.source)) for name, site in priors.sites.items()
    )
    return InUse(priors, (*sites, _published_course(priors.course)))


def in_intensive_care(in_use: InUse) -> InUse:
    """The same in intensive care; a forehead that the book knows stays as the book knows it."""
    if in_use.priors.sites[TEMPORAL].of_the_book:
        return in_use
    priors = intensive(in_use.priors)
    site = Source(SITE, TEMPORAL, _published_site(TEMPORAL, priors.sites[TEMPORAL].source))
    return InUse(priors, tuple(site if (s.about, s.name) == (SITE, TEMPORAL) else s for s in in_use.sources))


def _of_review(review: Review) -> InUse:
    """Sites and course as the review has them."""
    priors, told = as_published()
    model = review.document.supplement.model or ModelPart()
    day = display.day(review.at)
    sites, of_sites = sites_of(review, priors.sites, day)
    course, of_course = _course(priors.course, model.spread, day)
    found = {(s.about, s.name): s for s in (*told, *of_sites, *of_course)}
    return InUse(replace(priors, sites=MappingProxyType(sites), course=course), tuple(found.values()))


def _course(course: Course, spread: ModelSpread, day: str) -> tuple[Course, tuple[Source, ...]]:
    """How far a patient's temperature wanders, and for how many hours, as the charts here show it."""
    sd, hours = spread.course_sd_c, spread.course_hours
    if sd is None or hours is None or not (_within(sd, SANE_SD_C) and _within(hours, SANE_HOURS)):
        return course, ()
    says = (
        f"how a core wanders ({display.decimal(sd, 2)} °C, {display.decimal(hours, 0)} hours): from this book,"
        f" review of {day}; how often it is feverish or cold,"
        " and how fast it can rise or fall: published and our judgement"
    )
    made = replace(course, wander_sd_c=float(sd), wander_hours=float(hours))
    return made, (Source(COURSE, "", says, of_the_book=True),)


def _within(value: float, band: tuple[float, float]) -> bool:
    return band[0] <= value <= band[1]


def _published_site(name: str, source: str) -> str:
    return f"{SITE_NAMES[name]} against the core: as published, not from this book. {_sentence(source)}"


def _published_course(course: Course) -> Source:
    return Source(
        COURSE, "", f"how a core moves: as published, not from this book. {_sentence(course.source)}"
    )


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
