"""What every page shows: the hospital, the pages by name, and the usual caution."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import reverse

from browline.roles import ASSESSOR, EDUCATOR, PERSON, VIEWER
from browline.services.book import jobs, preferences
from browline.store.models import Job
from browline.web.access import holder
from browline.web.current_book import current_book
from browline.web.today.jobs.titles import TITLES

# The pages each role is shown the way to; the right itself is checked by each page.
PAGES: dict[str, dict[str, str]] = {
    EDUCATOR: {
        "Today": "today",
        "Teaching": "teaching",
        "Readings": "readings",
        "Questioned readings": "questioned",
        "Instruments": "instruments",
        "Reports": "reports",
    },
    ASSESSOR: {
        "Observe": "observe",
        "Who can do it": "who-can-do-it",
        "Round": "round",
        "Questioned reading": "bedside",
        "Log": "questioned-log",
        "Hand-outs": "handouts",
        "Questions": "class-questions",
        "My record": "my-record",
    },
    VIEWER: {
        "Who can do it": "who-can-do-it",
        "Questioned reading": "bedside",
        "Hand-outs": "handouts",
        "Questions": "class-questions",
    },
    PERSON: {
        "My record": "my-record",
        "Questioned reading": "bedside",
        "Hand-outs": "handouts",
        "Questions": "class-questions",
    },
}

CAUTION = (
    "Browline supports teaching and quality review. It does not diagnose. Local policy and licensed judgement "
    "come first, and a patient who looks ill is escalated whatever the number says."
)


def frame(request: HttpRequest) -> dict[str, object]:
    """The frame's words; to somebody without a right only the caution."""
    bearer = getattr(request, "holder", None)
    if bearer is None:
        return {"caution": CAUTION}
    words = {
        "caution": CAUTION,
        "hospital": preferences.choice("hospital"),
        "show_unit": preferences.choice("show_unit"),
        "zone": preferences.choice("zone"),
        "pages": _pages(request.path, PAGES[bearer.role]),
        "holder": bearer,
    }
    return {**words, "work_under_way": _work()} if bearer.role == EDUCATOR else words


def first_page(request: HttpRequest) -> str:
    """The name of the page that a bearer sees first."""
    bearer = holder(request)
    return "today" if bearer is None else next(iter(PAGES[bearer.role].values()))


# Addresses that stand elsewhere and belong to a page all the same.
BELONG = {
    "today": ("/findings/",),
    "readings": ("/wards/", "/sites/"),
    "teaching": ("/observe/", "/record/", "/hand-outs/", "/questions/", "/documents/"),
    "questioned": ("/bedside/",),
    "instruments": ("/round/",),
}


def _pages(path: str, named: dict[str, str]) -> list[dict[str, object]]:
    """The pages by title; of those whose address the path begins with, the longest is where the reader is."""
    addresses = {title: reverse(name) for title, name in named.items()}
    fits = {
        title: len(address)
        for title, address in addresses.items()
        if path.startswith(address) and address != "/"
    }
    for title, name in named.items():
        if path.startswith(BELONG.get(name, ())):
            fits.setdefault(title, 1)
    current = max(
        fits,
        key=lambda title: fits[title],
        default=next((t for t in addresses if addresses[t] == path), None),
    )
    return [
        {"title": title, "address": address, "here": title == current, "exactly": path == address}
        for title, address in addresses.items()
    ]


@dataclass(frozen=True)
class UnderWay:
    """A job that is still going on, as the frame of every page shows it."""

    pk: int
    title: str
    status: str


def _work() -> list[UnderWay]:
    """The latest job of each sort, where it is still going on."""
    latest = [Job.objects.filter(verb=verb).first() for verb in TITLES]
    going = [job for job in latest if job and job.state in (Job.QUEUED, Job.RUNNING)]
    book = current_book()
    return [UnderWay(job.pk, TITLES[job.verb], jobs.status(book, job)) for job in going]
