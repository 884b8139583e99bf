"""Whether assessors agree: the share and the table, each step, offers to calibrate; the coefficients behind them."""

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from browline import display
from browline.competency.double_scored import StepAgreement
from browline.competency.explain_scores import (
    agreement_sentences,
    coefficient_sentences,
    coefficient_words,
    leaning_sentence,
)
from browline.competency.interrater import FEW, Agreement
from browline.services.training import coverage
from browline.services.training.interrater import Agreeing, agreeing
from browline.web.request import BookRequest


@require_GET
def index(request: BookRequest) -> HttpResponse:
    """The page; assessors one by one only when asked for."""
    agreement = agreeing()
    by_assessor = request.GET.get("people") == "1"
    steps = [_step(s, agreement) for s in agreement.steps]
    page = {
        "found": agreement.outcomes,
        "said": agreement_sentences(agreement.outcomes),
        "raw": _raw(agreement.outcomes),
        "apart": coefficient_sentences(agreement.outcomes),
        "kappa": coefficient_words(agreement.outcomes.kappa),
        "ac1": coefficient_words(agreement.outcomes.ac1),
        "differing": [s for s in steps if s["differed"] or s["unpaired"]],
        "alike": [s for s in steps if not (s["differed"] or s["unpaired"])],
        "few": FEW,
        "by_assessor": by_assessor,
        "leanings": _leanings(agreement) if by_assessor else (),
    }
    return render(request, "training/interrater/index.html", page)


def _raw(a: Agreement) -> str:
    if a.raw is None:
        return "cannot be worked out"
    return f"{display.percent(a.raw)} ({display.percent_span(a.raw_low, a.raw_high)})"


def _step(s: StepAgreement, agreement: Agreeing) -> dict[str, object]:
    (both, first_only), (second_only, neither) = s.agreement.table
    return {
        "name": agreement.names.get(s.step, s.step),
        "critical": s.step in agreement.critical,
        "n": s.agreement.n,
        "agreed": both + neither,
        "differed": first_only + second_only,
        "unpaired": s.unpaired,
    }


def _leanings(agreement: Agreeing) -> list[tuple[str, str]]:
    """By name, which is no rank."""
    names = coverage.names(leaning.assessor for leaning in agreement.leanings)
    return sorted((names[leaning.assessor], leaning_sentence(leaning)) for leaning in agreement.leanings)
