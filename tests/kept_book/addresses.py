"""Every page by its name, and for those about one thing which things of the kept book they are asked about."""

import re
from collections.abc import Callable, Iterator
from typing import Any

from django.http import QueryDict
from django.urls import Resolver404, URLPattern, get_resolver, resolve

Arguments = list[dict[str, Any]]
FEW, FEW_PAPERS = 2, 1
DOCUMENTS = (
    "checklist", "site-and-cover", "pocket-card", "class-questions", "common-errors", "questioned-reading-pathway",
)  # fmt: skip
HAND_OUTS = ("pocket-card", "poster", "site-card", "site-card-reasons", "teach-back", "questions", "pathway")


def pages() -> dict[str, bool]:
    """The name of every address, and whether it needs to be told what it is about."""
    found = _patterns(get_resolver().url_patterns)
    return {pattern.name or "": needs for pattern, needs in found}


def _patterns(listed: list[Any], needs: bool = False) -> Iterator[tuple[URLPattern, bool]]:
    for one in listed:
        here = needs or bool(one.pattern.converters)
        if isinstance(one, URLPattern):
            yield one, here
        else:
            yield from _patterns(one.url_patterns, here)


def _rows(model: str, name: str = "number", **asked: Any) -> Callable[[], Arguments]:
    """The first and the last few rows of a table."""

    def found() -> Arguments:
        from browline.store import models

        numbers = list(
            getattr(models, model).objects.filter(**asked).order_by("pk").values_list("pk", flat=True)
        )
        few = FEW_PAPERS if name == "paper" else FEW
        return [
            {"number" if name == "paper" else name: n} for n in dict.fromkeys(numbers[:few] + numbers[-few:])
        ]

    return found


def _wards(**more: str) -> Callable[[], Arguments]:
    def found() -> Arguments:
        from browline.store.models import last_whole_review

        return [{"name": w["ward"], **more} for w in last_whole_review().supplement["audit"]["wards"]]

    return found


def _files() -> Arguments:
    from browline.web.current_book import current_book

    return [{"name": file.name} for file in current_book().reports.iterdir()]


def _of_papers(**asked: Any) -> Callable[[], Arguments]:
    return _rows(asked.pop("model"), "paper", **asked)


# By the name of an address that needs to be told what it is about. Where a page is only posted to, any will do.
ABOUT: dict[str, Callable[[], Arguments]] = {
    "sign-in-to": lambda: [{"code": c} for c in _codes()],
    "finding": _rows("Finding"),
    "behind": _rows("Finding", kind="instrument-offset"),
    "outcome": _rows("Finding"),
    "look-back": _rows("Finding", kind="instrument-offset"),
    "session": _rows("Session"),
    "session-here": _rows("Session"),
    "key-in-sheet": _rows("Session"),
    "strike-sign-in": _rows("Session"),
    "move-session": _rows("Session"),
    "cancel-session": _rows("Session"),
    "hold-session": _rows("Session"),
    "session-not-held": _rows("Session"),
    "open-session-again": _rows("Session"),
    "sign-in-sheet": _of_papers(model="Session"),
    "shift-code": lambda: [{"code": code} for code in ("ZZ", "QD", "N", "E/L")],
    "roster-absence": _rows("Person", "person"),
    "entry-nobody": _rows("Person", "entry", listed=False),
    "match-person": _rows("Person", "entry", listed=False),
    "staff-member": _rows("Person"),
    "staff-away": _rows("Person"),
    "plan": _rows("SessionPlan"),
    "take-visits": _rows("SessionPlan"),
    "change-visit": _rows("SessionPlan"),
    "plan-paper": _of_papers(model="SessionPlan"),
    "plan-calendar": _rows("SessionPlan"),
    "demonstration": _rows("Demonstration"),
    "amend-demonstration": _rows("Demonstration"),
    "withdraw-demonstration": _rows("Demonstration"),
    "second-score": lambda: _rows("Demonstration", amends=None)()[-FEW:],
    "close-assessor": _rows("AssessorStanding"),
    "take-demonstration": _rows("Event", verb="demonstration-refused"),
    "put-by-demonstration": _rows("Event", verb="demonstration-refused"),
    "let-both-stand": _rows("Event", verb="demonstration-refused"),
    "release-champion": _rows("Champion"),
    "record": _rows("Person", "person"),
    "record-file": lambda: _rows("Person", "person")()[:1],
    "hand-out": lambda: [{"name": name} for name in HAND_OUTS],
    "take-back-questioned": _rows("QuestionedReading"),
    "document": lambda: [{"kind": kind} for kind in DOCUMENTS],
    "change-document": lambda: [{"kind": kind} for kind in DOCUMENTS],
    "document-version": lambda: _versions(),
    "dates-are-right": _rows("Import"),
    "receipt": _rows("Import"),
    "undo": _rows("Import"),
    "restore-repair": lambda: [{"number": 3, "code": "lost-point"}],
    "undo-repair": lambda: [{"number": 3, "code": "decimal-comma"}],
    "set-aside": _rows("Import", kind="readings"),
    "set-aside-list": _rows("Import", kind="readings"),
    "ward": _wards(),
    "ward-sheet": lambda: _wards()()[:1],
    "ward-sample": _wards(),
    "ward-rows": lambda: [{"name": "Ward 1A", "test": "copied-values"}],
    "instrument": _rows("Instrument"),
    "retire-instrument": _rows("Instrument"),
    "reinstate-instrument": _rows("Instrument"),
    "enter-check": _rows("Instrument"),
    "edit-instrument": _rows("Instrument"),
    "report-file": _files,
    "take-back-pass": _rows("Pass"),
    "work": _rows("Job"),
    "progress": _rows("Job"),
    "again": _rows("Job"),
    "staff-back": lambda: _absences(),
}


def _codes() -> list[str]:
    from browline.store.models import Session

    return list(Session.objects.filter(note="invented").values_list("code", flat=True))


def _versions() -> Arguments:
    from browline.store.models import ControlledDocument

    return [{"kind": k, "version": v} for k, v in ControlledDocument.objects.values_list("kind", "version")]


def _absences() -> Arguments:
    from browline.store.models import Absence

    return [{"number": a.person_id, "absence": a.pk} for a in Absence.objects.all()]


# Pages that answer otherwise, and why they should.
OTHERWISE = {
    "my-record-file": (404, "the educator has no record of her own"),
    "change-visit": (302, "without a visit named, it leads back to the plan"),
}


def kind_of_link(address: str) -> tuple[str, ...] | None:
    """The name of a page and the names of what is asked of it; None for a file and for what is no page of ours."""
    path, _, asked = address.partition("?")
    try:
        return (resolve(path).url_name or "", *sorted(QueryDict(asked)))
    except Resolver404:
        return None


def links(page: str) -> list[str]:
    """The addresses on a page that lead to other pages of ours."""
    found = re.findall(r'<a\b[^>]*\bhref="([^"#]*)', page)
    return [address.replace("&amp;", "&") for address in found if address.startswith("/")]
