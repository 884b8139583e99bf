"""Every site of measurement as the last review has it."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.services.book.preferences import choice
from browline.services.review.model_part import SiteRow, site_rows
from browline.services.review.model_part.sites import SLOPE, UNCHARTED, WAYS
from browline.store.models import last_whole_review
from browline.web.request import BookRequest


@require_GET
def sites(request: BookRequest) -> HttpResponse:
    """Offset, slope, quick pairs, what moves them, and what speaks against them."""
    review = last_whole_review()
    rows = site_rows(review.document, choice("show_unit")) if review else ()
    moved = [row for row in rows if row.uncharted]
    page = {
        "review": review,
        "rows": rows,
        "reference": review.document.reference_site if review else None,
        "moved": moved,
        "moved_by_share": _by_share(moved),
        "checked": [row for row in rows if row.checks],
        "ways": WAYS,
        "slope": SLOPE,
        "uncharted": UNCHARTED,
    }
    return render(request, "readings/sites/sites.html", page)


def _by_share(moved: list[SiteRow]) -> list[tuple[str, list[tuple[str, str]]]]:
    """A line for each share of first readings never charted: (share, what each site's pairs would say)."""
    lines = zip(*(row.uncharted for row in moved), strict=True)
    return [(line[0][0], [(offset, interval) for _, offset, interval in line]) for line in lines]
