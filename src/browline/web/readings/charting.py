"""A chart of any instrument, ward or stay."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.web.book import current_book
from browline.web.charts import DRAWN, chart_of
from browline.web.readings.names import charted_names


@require_GET
def chart(request: HttpRequest) -> HttpResponse:
    """The chart asked for, or word that nothing by that name was charted."""
    what, name = request.GET.get("what", "instrument"), request.GET.get("name", "").strip()
    drawn = chart_of(current_book(), what, name) if name and what in DRAWN else None
    page = {"chart": drawn, "what": what, "name": name, "names": charted_names()}
    return render(request, "readings/chart_page.html", page)
