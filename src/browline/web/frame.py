"""What every page shows: the hospital, the pages by name, and the usual caution."""

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from browline.duties import choices, jobs
from browline.store.models import Job
from browline.web.book import current_book
from browline.web.work.titles import TITLES

PAGES = {"Today": "today", "Readings": "readings", "Instruments": "instruments", "Reports": "reports"}

CAUTION = (
    "Browline supports teaching and quality review. It does not diagnose. Local policy and licensed judgement "
    "come first, and a patient who looks ill is escalated whatever the number says."
)


def frame(request: HttpRequest) -> dict[str, Any]:
    """The frame's words; without a signed-in session only the caution."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return {"caution": CAUTION}
    return {
        "caution": CAUTION,
        "hospital": choices.choice("hospital"),
        "show_unit": choices.choice("show_unit"),
        "pages": _pages(request.path),
        "work_under_way": _work(),
    }


def _pages(path: str) -> list[dict[str, Any]]:
    home = reverse("today")
    pages = []
    for title, name in PAGES.items():
        address = reverse(name)
        here = path.startswith(address) and (address != home or path == home or path.startswith("/findings/"))
        here = here or (name == "readings" and path.startswith(reverse("wards")))
        pages.append({"title": title, "address": address, "here": here, "exactly": path == address})
    return pages


def _work() -> list[Job]:
    """The latest job of each sort, where it is still going on."""
    latest = [Job.objects.filter(verb=verb).first() for verb in TITLES]
    going = [job for job in latest if job and job.state in (Job.QUEUED, Job.RUNNING)]
    book = current_book()
    for job in going:
        job.title, job.standing = TITLES[job.verb], jobs.standing(book, job)
    return going
