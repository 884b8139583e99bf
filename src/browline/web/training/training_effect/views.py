"""Did training work, as the last review has it, with the picture of the months around sign-off."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline.figures import around_chart
from browline.services.book.preferences import choice
from browline.services.review.model_part import TrainingWords, training_words
from browline.store.models import last_whole_review
from browline.web.charts import NARROW, Chart, both
from browline.web.request import BookRequest

WIDE = 760


@require_GET
def did_it_work(request: BookRequest) -> HttpResponse:
    """The verdict in words first; then effect, months, measures and doubts."""
    review, unit = last_whole_review(), choice("show_unit")
    effect = training_words(review.document, unit) if review else None
    page = {"review": review, "told": effect, "chart": _chart(effect, unit)}
    return render(request, "training/training_effect/did_it_work.html", page)


def _chart(effect: TrainingWords | None, unit: str) -> Chart | None:
    """The months around sign-off, drawn twice."""
    if effect is None or not effect.months:
        return None
    wide, narrow = (around_chart(effect.months, unit=unit, width=width) for width in (WIDE, NARROW))
    return both("Months before and after sign-off", wide, narrow)
