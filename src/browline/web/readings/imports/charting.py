"""A chart of any instrument, ward or stay."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from browline.web.charts import DRAWN, subject_chart
from browline.web.current_book import current_book
from browline.web.readings.imports.names import charted_names
from browline.web.request import BookRequest


@require_http_methods(["GET", "HEAD", "POST"])
def chart(request: BookRequest) -> HttpResponse:
    """The chart asked for, or word that nothing by that name was charted.

    The form posts, because a stay's number identifies a patient and an address is kept by the browser.
    """
    query = request.POST if request.method == "POST" else request.GET
    subject_type, name = query.get("what", "instrument"), query.get("name", "").strip()
    drawn = subject_chart(current_book(), subject_type, name) if name and subject_type in DRAWN else None
    # What she typed for a stay is not said back: the page may be printed.
    printed_name = "" if subject_type == "stay" else name
    page = {
        "chart": drawn,
        "what": subject_type,
        "name": printed_name,
        "asked": bool(name),
        "names": charted_names(),
    }
    return render(request, "readings/imports/chart_page.html", page)
