"""One person's record, for the educator; on the page and on paper."""

import numpy as np
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.competency import learning
from browline.competency.explain import standing_sentence
from browline.competency.explain_scores import learning_sentences
from browline.competency.judging import MARKS
from browline.paper import write_competence_file
from browline.services.training.demonstrations.reading import OUTCOME_WORDS
from browline.services.training.record import Entry, Record, attempts
from browline.services.training.record import record as record_of
from browline.services.training.record.gaps import gaps
from browline.store.models import Person
from browline.web.downloads import pdf
from browline.web.request import BookRequest

# The tries intended for everybody, settled beforehand: a number that followed the tries would move the limit with them.
INTENDED = 20
SEED = 20


@require_GET
def record(request: BookRequest, person: int) -> HttpResponse:
    """The page of one person."""
    return record_page(request, get_object_or_404(Person, pk=person).pk, "record-file", person)


@require_GET
def file(request: BookRequest, person: int) -> HttpResponse:
    """The file that proves a person's competence."""
    return record_file(get_object_or_404(Person, pk=person).pk)


def record_page(request: BookRequest, person: int, file: str, *numbers: int) -> HttpResponse:
    """The record of a person, with the address of its file."""
    record = record_of(person, timezone.localdate())
    page = {
        "record": record,
        "stands": standing_sentence(record.standing),
        "entries": [_entry(e) for e in record.entries],
        "brought_in": [{"one": b, "outcome": OUTCOME_WORDS[b.outcome]} for b in record.brought_in],
        "gaps": gaps(record),
        "curve": _curve(record),
        "file": reverse(file, args=numbers),
    }
    return render(request, "training/competence_record/record.html", page)


def record_file(person: int) -> HttpResponse:
    """The record as PDF, by way of the book's owner-only folder."""
    record = record_of(person, timezone.localdate())
    return pdf(
        lambda path: write_competence_file(record, gaps(record), timezone.localtime(), path),
        f"record-{person}-{record.today}.pdf",
    )


def _entry(e: Entry) -> dict[str, object]:
    return {
        "one": e,
        "outcome": OUTCOME_WORDS.get(e.outcome, e.outcome),
        "steps": [{"step": step, "mark": MARKS.get(mark, mark), "code": mark} for step, mark in e.steps],
        "assessors": [a for a in (e.assessor, e.second) if a is not None],
    }


def _curve(record: Record) -> tuple[str, ...]:
    """What repeated attempts show; nothing with fewer than two."""
    tries = attempts(record.entries)
    if len(tries) < 2:
        return ()
    design = learning.Design(attempts=INTENDED)
    limit = learning.limit(design, np.random.default_rng(SEED))
    return learning_sentences(learning.solve(tries, design, limit), design, limit)
