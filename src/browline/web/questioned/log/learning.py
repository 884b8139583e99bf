"""What the log of questioned readings teaches: causes in order, instruments to check, and what it refuses to say."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.figures import pareto_chart
from browline.instruments import Pareto
from browline.instruments.recurring_text import (
    BASIS_SAID,
    CANNOT_SAY,
    REFUSAL,
    REFUSAL_SOURCE,
    headline,
    overall_sentence,
    recurrence_sentence,
    rule,
)
from browline.paper import write_questioned_learning
from browline.services.book.preferences import choice
from browline.services.questioned.learning import PERIODS, RECUR_WEEKS, Learned, learned
from browline.services.questioned.rows import done_rows, pareto_rows
from browline.store.models import Instrument
from browline.web.charts import NARROW, Chart, both
from browline.web.current_book import current_book
from browline.web.downloads import pdf
from browline.web.request import BookRequest

WIDE = 640


@require_GET
def learning(request: BookRequest) -> HttpResponse:
    """The page."""
    weeks = _weeks(request)
    summary = learned(current_book(), timezone.localtime(), weeks)
    page = {
        "found": summary,
        "weeks": weeks,
        "periods": PERIODS,
        "chart": _chart(summary.causes, "Causes of questioned readings"),
        "headline": headline(summary.causes),
        "wards": [(ward, headline(causes), _chart(causes, ward)) for ward, causes in summary.wards],
        "done": done_rows(summary),
        "together": overall_sentence(summary.instruments),
        "asks": _asks(summary),
        "rows": [
            (row, recurrence_sentence(row, RECUR_WEEKS))
            for row in summary.instruments.instruments
            if row.questioned
        ],
        "rule": rule(RECUR_WEEKS, choice("false_share"), choice("tolerance_c")),
        "basis": BASIS_SAID[summary.instruments.basis],
        "refusal": REFUSAL,
        "source": REFUSAL_SOURCE,
        "cannot_say": CANNOT_SAY,
    }
    return render(request, "questioned/log/learning.html", page)


@require_GET
def sheet(request: BookRequest) -> HttpResponse:
    """The same on one sheet."""
    now = timezone.localtime()
    summary = learned(current_book(), now, _weeks(request))
    paper = request.GET.get("paper", "")
    paper = paper if paper in ("a4", "us-letter") else choice("paper")
    return pdf(
        lambda path: write_questioned_learning(
            summary, path, hospital=choice("hospital"), paper=paper, created=now
        ),
        "questioned-readings.pdf",
    )


def _weeks(request: BookRequest) -> int:
    requested = request.GET.get("weeks", "")
    return int(requested) if requested in map(str, PERIODS) else max(PERIODS)


def _asks(summary: Learned) -> list[dict[str, object]]:
    numbers = dict(Instrument.objects.values_list("name", "pk"))
    return [{"ask": ask, "number": numbers[ask.instrument]} for ask in summary.asks]


def _chart(causes: Pareto, title: str) -> Chart | None:
    if not causes.bars:
        return None
    rows, sentence = pareto_rows(causes), headline(causes)
    wide, narrow = (pareto_chart(rows, causes.total, sentence, width=width) for width in (WIDE, NARROW))
    return both(title, wide, narrow)
