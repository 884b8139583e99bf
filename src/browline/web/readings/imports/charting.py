"""A chart of any instrument, ward or stay."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from browline.web.charts import DRAWN, chart_of
from browline.web.current_book import current_book
from browline.web.readings.imports.names import charted_names
from browline.web.request import BookRequest


@require_http_methods(["GET", "HEAD", "POST"])
def chart(request: BookRequest) -> HttpResponse:
    """The chart asked for, or word that nothing by that name was charted.

    The form posts, because a stay's number identifies a patient and an address is kept by the browser.
    """
    asked = request.POST if request.method == "POST" else request.GET
    what, name = asked.get("what", "instrument"), asked.get("name", "").strip()
    drawn = chart_of(current_book(), what, name) if name and what in DRAWN else None
    # What she typed for a stay is not said back: the page may be printed.
    said = "" if what == "stay" else name
    page = {"chart": drawn, "what": what, "name": said, "asked": bool(name), "names": charted_names()}
    return render(request, "readings/imports/chart_page.html", page)
