"""A document: as it stands for those who may read it; changed, as a new version, by the educator."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from browline.controlled import Field, Layout
from browline.duties import documents
from browline.duties.handing_out.cards import worded
from browline.errors import Refusal
from browline.roles import ASSESSOR, EDUCATOR, PERSON, VIEWER
from browline.web.access import open_to
from browline.web.documents.forms import (
    ApprovalForm,
    body_of,
    complaints,
    head_form,
    initial_of,
    row_forms,
    values_of,
)


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def document(request: HttpRequest, kind: str) -> HttpResponse:
    """The version in force, and the list of all."""
    return _shown(request, _layout(kind), documents.latest(kind))


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def version(request: HttpRequest, kind: str, version: int) -> HttpResponse:
    """One version, also one that is superseded."""
    layout = _layout(kind)
    found = next((one for one in documents.history(kind) if one.version == version), None)
    if found is None:
        raise Http404
    return _shown(request, layout, found)


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, kind: str) -> HttpResponse:
    """The editor; posting writes the next version, and nothing over the last."""
    layout, now = _layout(kind), documents.latest(kind)
    head, rows, approval = _forms(request, layout, now)
    page = {"layout": layout, "head": head, "rows": rows, "approval": approval, "version": now.version}
    # Every part is looked at, so that all complaints show at once.
    if not all([head.is_valid(), rows.is_valid(), approval.is_valid()]) or request.method != "POST":
        mend = request.method == "POST" and complaints([head, approval], rows)
        return render(request, "documents/change.html", page, status=422 if mend else 200)
    try:
        written = documents.new_version(
            kind,
            body_of(head, rows),
            documents.Approval(**approval.cleaned_data),
            read=int(request.POST.get("read", now.version)),
            actor=EDUCATOR,
        )
    except Refusal as refusal:
        return render(request, "documents/change.html", {**page, "refusal": refusal}, status=409)
    return redirect("document-version", kind=kind, version=written.version)


def _forms(request: HttpRequest, layout: Layout, now: Any) -> tuple[Any, Any, ApprovalForm]:
    head, rows = head_form(layout), row_forms(layout)
    if request.method == "POST":
        return (
            head(request.POST, prefix="head"),
            rows(request.POST, prefix="row"),
            ApprovalForm(request.POST, prefix="approval"),
        )
    # A changed text is a new one to approve: the dates begin empty.
    return (
        head(initial=values_of(layout.head, now.body["head"]), prefix="head"),
        rows(initial=initial_of(layout, now.body), prefix="row"),
        ApprovalForm(initial={"owner": now.owner, "source": now.source}, prefix="approval"),
    )


def _layout(kind: str) -> Layout:
    if kind not in documents.MODULES:
        raise Http404
    return documents.layout(kind)


def _shown(request: HttpRequest, layout: Layout, found: Any) -> HttpResponse:
    latest, body = documents.latest(layout.kind), worded(found.body)
    page = {
        "layout": layout,
        "document": found,
        "superseded": latest.version != found.version,
        "latest": latest.version,
        "standing": documents.standing(found, timezone.localdate()),
        "head": _told(layout.head, body["head"]),
        "rows": [_told(layout.fields, row) for row in body["rows"]],
        "history": documents.history(layout.kind),
    }
    return render(request, "documents/document.html", page)


def _told(fields: tuple[Field, ...], values: dict[str, Any]) -> list[tuple[str, str]]:
    """Label and text of each field that holds something."""
    return [(field.label, text) for field in fields if (text := _text(field, values.get(field.name)))]


def _text(field: Field, value: Any) -> str:
    words = field.choices or {}
    if field.type == "many":
        return ", ".join(words.get(one, one) for one in value or [])
    if field.type == "choice":
        return words.get(value, value or "")
    if field.type == "tick":
        return "yes" if value else ""
    return f"{value:g}" if field.type == "number" and value is not None else str(value or "")
