"""Sites as the book's last whole review found them, in the place of the published ones.

A review compares a site with its reference site at 37.0 °C; against the core the published figures of the reference
carry it on. With `o`, `λ` of the reference against the core and `d`, `κ` of the site against the reference:

    offset = d + κ o        slope = κ λ        (κ = 1 for the offset where the charts cannot tell it)

What the book measured of one patient's own differences is the difference between two sites: 2 a² for a pair, shared
out between them as their published spreads are.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from browline import display
from browline.documents.model import ModelPart
from browline.documents.review import SiteRow
from browline.quantities.shares import Z95
from browline.quantities.sites import SITE_NAMES
from browline.questioned.priors import Site
from browline.questioned.problem import READ_SITES
from browline.services.questioned.sources import SITE, Source
from browline.store.models import Review

Sites = dict[str, Site]


def sites_of(review: Review, published: Mapping[str, Site], day: str) -> tuple[Sites, tuple[Source, ...]]:
    """Every site, the book's figures where it has them, and where those come from; `day` of the review, in words."""
    sites, sources = dict(published), list[Source]()
    model = review.document.supplement.model or ModelPart()
    reference = review.document.reference_site
    if reference is None or reference not in READ_SITES:
        return sites, ()
    parted = {s.site for s in model.sites if s.disagrees}
    for row in review.document.sites:
        name, error = row.site, row.sd_c
        if name == reference and error:
            sites[name] = replace(sites[name], error_sd_c=float(error))
            sources.append(Source(SITE, name, _reference(name, published[name], row, day), of_the_book=True))
        elif known := _known(row, reference, parted):
            sites[name] = _site(known, published[name], published[reference], model.spread.at_site_sd_c)
            sources.append(Source(SITE, name, _compared(name, reference, row, day), of_the_book=True))
        elif name in parted and name in READ_SITES:
            sources.append(Source(SITE, name, _parted(name, published[name], day)))
    return sites, tuple(sources)


class KnownSite(NamedTuple):
    """A site of which the charts tell how it reads: its 95 % interval is `width_c` wide."""

    offset_c: float
    width_c: float
    slope: float | None
    sd_c: float | None


def _known(row: SiteRow, reference: str, parted: set[str]) -> KnownSite | None:
    """How this site reads where the charts tell: enough readings, an interval, and two ways that agree."""
    if row.offset_c is None or row.low_c is None or row.high_c is None or row.n < display.FEWEST:
        return None
    if row.site not in READ_SITES or row.site == reference or row.site in parted:
        return None
    return KnownSite(row.offset_c, row.high_c - row.low_c, row.slope, row.sd_c)


def _site(row: KnownSite, site: Site, reference: Site, at_site: float | None) -> Site:
    slope = row.slope
    return replace(
        site,
        offset_c=row.offset_c + (1.0 if slope is None else slope) * reference.offset_c,
        slope=site.slope if slope is None else slope * reference.slope,
        own_sd_c=_own_sd(row, site, reference, at_site),
        error_sd_c=row.sd_c or site.error_sd_c,
        source="this book, carried on to the core by the published figures of its reference site",
        of_the_book=True,
    )


def _own_sd(row: KnownSite, site: Site, reference: Site, at_site: float | None) -> float:
    """One value for all readings of the site: the patient's own difference, and what is not known of the offset."""
    share = site.own_sd_c**2 / (site.own_sd_c**2 + reference.own_sd_c**2)
    own = site.own_sd_c**2 if at_site is None else 2.0 * at_site**2 * share
    unknown = row.width_c / (2.0 * Z95)
    return float((own + unknown**2) ** 0.5)


def _compared(name: str, reference: str, row: SiteRow, day: str) -> str:
    rise = "" if row.slope is None else ", and how it rises with fever"
    return (
        f"{SITE_NAMES[name]} against {SITE_NAMES[reference]}{rise}: from this book, "
        f"{display.count(row.n)} readings, "
        f"review of {day}"
    )


def _parted(name: str, site: Site, day: str) -> str:
    return (
        f"{SITE_NAMES[name]} against the core: as published, not from this book, whose two ways of comparing it differ "
        f"(review of {day}). {site.source}"
    )


def _reference(name: str, site: Site, row: SiteRow, day: str) -> str:
    return (
        f"{SITE_NAMES[name]} against the core: as published ({site.source}); the spread of one reading: from this "
        f"book, {display.count(row.n)} readings, review of {day}"
    )
