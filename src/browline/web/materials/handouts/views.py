"""Hand-outs: each with how it stands, its file to print, and the versions that should no longer be found."""

from datetime import datetime

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from browline.paper import write_hand_out, write_sign_in_sheet
from browline.roles import ASSESSOR, PERSON, VIEWER
from browline.services.materials.handouts import blank_sign_in_sheet
from browline.services.materials.handouts.cards import HAND_OUTS, handed_out, note_handed_out, replaced
from browline.web.access import open_to
from browline.web.downloads import pdf
from browline.web.request import BookRequest

PAPERS: dict[str, str] = {"a4": "A4", "us-letter": "US letter", "a3": "A3", "us-tabloid": "US tabloid"}


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def index(request: BookRequest) -> HttpResponse:
    """Every hand-out."""
    now = timezone.localtime()
    return render(request, "materials/handouts/index.html", {"rows": [_row(name, now) for name in HAND_OUTS]})


def _row(name: str, now: datetime) -> dict[str, object]:
    handed = handed_out(name, now)
    sizes = sorted(handed.hand_out.papers, key=lambda paper: paper != handed.paper)
    return {
        "handed": handed,
        "papers": [(paper, PAPERS[paper]) for paper in sizes],
        "replaced": replaced(name, now.date()),
    }


@open_to(ASSESSOR, VIEWER, PERSON)
@require_GET
def hand_out(request: BookRequest, name: str) -> HttpResponse:
    """One hand-out as PDF, and a note that this version was taken."""
    handed = handed_out(name, timezone.localtime(), request.GET.get("paper", ""))
    answer = pdf(lambda path: write_hand_out(handed, path), f"{name}-v{handed.version}.pdf")
    note_handed_out(handed, request.holder.actor)
    return answer


@open_to(ASSESSOR)
@require_GET
def blank_sheet(request: BookRequest) -> HttpResponse:
    """A sheet to sign for a session that nobody planned."""
    sheet = blank_sign_in_sheet(timezone.localtime())
    return pdf(lambda path: write_sign_in_sheet(sheet, path), "sign-in-sheet.pdf")
