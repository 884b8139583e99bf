"""All wards side by side without a rank, one ward's page, and what can be taken away from it."""

from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET, require_POST

from browline.audit import NOT_SAID, Outcome
from browline.findings import AUDITED
from browline.paper import look_back_sheet, sample_sheet, write_ward_sheet
from browline.roles import EDUCATOR
from browline.services.review import wards as duty
from browline.services.review.sampling import draw_sample
from browline.services.review.ward_sheet import ward_sheet
from browline.store.models import Finding, last_whole_review
from browline.web.current_book import current_book
from browline.web.downloads import pdf, spreadsheet
from browline.web.readings.wards.charts import availability_chart, site_chart, weeks_chart
from browline.web.readings.wards.forms import SampleForm
from browline.web.readings.wards.words import opening, smallest_detectable, unasked_everywhere
from browline.web.request import BookRequest


@require_GET
def wards(request: BookRequest) -> HttpResponse:
    """Every ward by name: readings, what was seen, what could not be told, what was not asked."""
    review = last_whole_review()
    every_ward = duty.wards(review)
    nowhere = unasked_everywhere(every_ward)
    page = {
        "review": review,
        "rows": [_row(w, nowhere) for w in every_ward],
        "nowhere": [AUDITED[test].whether for test in nowhere],
        "site_chart": site_chart(every_ward),
        "at_hand": availability_chart(every_ward),
        "from_register": any(w.from_register for w in every_ward),
        "not_said": NOT_SAID,
    }
    return render(request, "readings/wards/wards.html", page)


def _row(ward: duty.Ward, nowhere: tuple[str, ...]) -> dict[str, object]:
    return {
        "ward": ward,
        "too_few": ward.that(Outcome.TOO_FEW),
        "not_asked": [a for a in ward.that(Outcome.NOT_ASKED) if a.test not in nowhere],
        "not_seen": ward.that(Outcome.NOT_SEEN),
    }


@require_GET
def ward(request: BookRequest, name: str) -> HttpResponse:
    """One ward: what was seen and what to ask, its weeks, every test with its answer."""
    return _ward_page(request, _get_ward(name), SampleForm())


def _get_ward(name: str) -> duty.Ward:
    ward = duty.ward(last_whole_review(), name)
    if ward is None:
        raise Http404
    return ward


def _ward_page(request: BookRequest, ward: duty.Ward, form: SampleForm, status: int = 200) -> HttpResponse:
    review, followed = last_whole_review(), duty.follow(ward)
    events = duty.dated_events(review, ward.name)
    fall = duty.find_fall(ward, followed, events)
    page = {
        "ward": ward,
        "not_said": NOT_SAID,
        "review": review,
        "opening": opening(ward),
        "seen": [_signal_row(ward, a, fall) for a in ward.seen],
        "followed": followed,
        "watched": duty.watch(followed),
        "chart": weeks_chart(followed, ward.name, events),
        "weeks_said": followed.said if fall is None else followed.said_without_step,
        "smallest": smallest_detectable(ward),
        "units": duty.unit_sentences(review, ward.name),
        "others": [f for f in _open_findings(ward.name) if f.kind not in {a.test for a in ward.seen}],
        "form": form,
    }
    return render(request, "readings/wards/ward.html", page, status=status)


def _signal_row(ward: duty.Ward, answer: duty.Answer, fall: duty.Fall | None) -> dict[str, object]:
    """What was seen with its question; a share that has fallen is asked about as such, and the fall said once."""
    sentence, ask = answer.sentence, answer.ask
    if fall is not None and fall.test == answer.test:
        sentence, ask = answer.without_step, fall.question
    finding = _finding(ward.name, answer.test)
    return {"answer": answer, "sentence": sentence, "ask": ask, "finding": finding}


def _open_findings(name: str) -> QuerySet[Finding]:
    return Finding.objects.open().filter(subject_type="ward", subject_id=name)


def _finding(name: str, test: str) -> Finding | None:
    return Finding.objects.filter(subject_type="ward", subject_id=name, kind=test).first()


@require_GET
def rows(request: BookRequest, name: str, test: str) -> HttpResponse:
    """The row numbers of the readings behind one answer, as a spreadsheet."""
    ward = _get_ward(name)
    answer = next((a for a in ward.seen if a.test == test), None)
    if answer is None:
        raise Http404
    behind = duty.rows_behind(current_book(), ward.name, answer)
    return spreadsheet(look_back_sheet(ward.name, behind), f"{test}.xlsx")


@require_POST
def sample(request: BookRequest, name: str) -> HttpResponse:
    """A random list of charts of this ward to look at by hand, as a spreadsheet."""
    ward, form = _get_ward(name), SampleForm(request.POST)
    if not form.is_valid():
        return _ward_page(request, ward, form, status=422)
    drawn = draw_sample(current_book(), count=form.cleaned_data["count"], ward=ward.name, actor=EDUCATOR)
    return spreadsheet(sample_sheet(drawn), f"charts-seed-{drawn.seed}.xlsx")


@require_GET
def sheet(request: BookRequest, name: str) -> HttpResponse:
    """The ward's sheet: one side of paper, for the ward itself."""
    ward = _get_ward(name)
    laid_out = ward_sheet(last_whole_review(), ward.name)
    return pdf(lambda path: write_ward_sheet(laid_out, path), "ward-sheet.pdf")
