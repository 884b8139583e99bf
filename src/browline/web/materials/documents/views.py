"""A document: as it stands for those who may read it; changed, as a new version, by the educator."""

from django.forms import Form
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from browline.controlled import Field, Layout
from browline.errors import Refusal
from browline.roles import ASSESSOR, EDUCATOR, PERSON, VIEWER
from browline.services.materials import documents
from browline.services.materials.changed_rows import Changed, field_text
from browline.services.materials.handouts.cards import worded
from browline.store.models import ControlledDocument
from browline.web.access import open_to
from browline.web.materials.documents.forms import (
    ApprovalForm,
    RowForms,
    complaints,
    document_body,
    head_form,
    initial_rows,
    row_forms,
    typed_values,
)
from browline.web.request import BookRequest


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def document(request: BookRequest, kind: str) -> HttpResponse:
    """The version in force, and the list of all."""
    return _version_page(request, _layout(kind), documents.latest(kind))


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def version(request: BookRequest, kind: str, version: int) -> HttpResponse:
    """One version, also one that is superseded."""
    layout = _layout(kind)
    document = next((entry for entry in documents.history(kind) if entry.version == version), None)
    if document is None:
        raise Http404
    return _version_page(request, layout, document)


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: BookRequest, kind: str) -> HttpResponse:
    """The editor; posting writes the next version, and nothing over the last."""
    layout, now = _layout(kind), documents.latest(kind)
    head, rows, approval = _forms(request, layout, now)
    page = {"layout": layout, "head": head, "rows": rows, "approval": approval, "version": now.version}
    # Every part is looked at, so that all complaints show at once.
    if not all([head.is_valid(), rows.is_valid(), approval.is_valid()]) or request.method != "POST":
        mend = request.method == "POST" and complaints([head, approval], rows)
        return render(request, "materials/documents/change.html", page, status=422 if mend else 200)
    body, requested = document_body(head, rows), documents.Approval(**approval.cleaned_data)
    try:
        if all(vars(requested).values()) and (unread := _unseen(request, kind, body)):
            return render(request, "materials/documents/approve.html", {**page, **unread})
        written = documents.new_version(
            kind,
            body,
            requested,
            read=int(request.POST.get("read", now.version)),
            actor=EDUCATOR,
            token=request.POST.get("seen", ""),
        )
    except Refusal as refusal:
        return render(request, "materials/documents/change.html", {**page, "refusal": refusal}, status=409)
    return redirect("document-version", kind=kind, version=written.version)


def _unseen(request: BookRequest, kind: str, body: dict[str, object]) -> dict[str, object]:
    """What the approver has to see first, with everything that was entered; empty where it was seen and said so."""
    comparison = documents.changes_to_approve(kind, body)
    if request.POST.get("seen") == comparison.token and request.POST.get("all-read") == "yes":
        return {}
    apart = ("csrfmiddlewaretoken", "seen", "all-read")
    entered = [
        (name, value) for name, values in request.POST.lists() if name not in apart for value in values
    ]
    return {"shown": comparison, "changed": _worded(comparison.lines), "entered": entered}


def _worded(lines: tuple[Changed, ...]) -> list[dict[str, object]]:
    """The lines with every temperature in both units; those whose marks alone differ stay as typed."""
    both_units = [{**vars(line), **worded({"was": line.was, "now": line.now})} for line in lines]
    return [
        vars(line) if converted["was"] == converted["now"] else converted
        for line, converted in zip(lines, both_units, strict=True)
    ]


def _forms(
    request: BookRequest, layout: Layout, now: ControlledDocument
) -> tuple[Form, RowForms, ApprovalForm]:
    head, rows = head_form(layout), row_forms(layout)
    if request.method == "POST":
        return (
            head(request.POST, prefix="head"),
            rows(request.POST, prefix="row"),
            ApprovalForm(request.POST, prefix="approval"),
        )
    # A changed text is a new one to approve: the dates begin empty.
    return (
        head(initial=typed_values(layout.head, now.body["head"]), prefix="head"),
        rows(initial=initial_rows(layout, now.body), prefix="row"),
        ApprovalForm(initial={"owner": now.owner, "source": now.source}, prefix="approval"),
    )


def _layout(kind: str) -> Layout:
    if kind not in documents.MODULES:
        raise Http404
    return documents.layout(kind)


def _version_page(request: BookRequest, layout: Layout, document: ControlledDocument) -> HttpResponse:
    latest, body = documents.latest(layout.kind), worded(document.body)
    # Sent back to be read again: what it changed is shown where it stands.
    again = documents.version_changes(document) if document.read_again else None
    page = {
        "layout": layout,
        "document": document,
        "superseded": latest.version != document.version,
        "latest": latest.version,
        "standing": documents.status(document, timezone.localdate()),
        "again": again,
        "changed": _worded(again.lines) if again else [],
        "head": _field_texts(layout.head, body["head"]),
        "rows": [_field_texts(layout.fields, row) for row in body["rows"]],
        "history": documents.history(layout.kind),
    }
    return render(request, "materials/documents/document.html", page)


def _field_texts(fields: tuple[Field, ...], values: dict[str, object]) -> list[tuple[str, str]]:
    """Label and text of each field that holds something."""
    return [(field.label, text) for field in fields if (text := field_text(field, values.get(field.name)))]
