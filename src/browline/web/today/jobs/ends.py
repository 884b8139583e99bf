"""Where a finished job leads: a sentence, and the page to go on to."""

from dataclasses import dataclass

from django.urls import reverse

from browline import display
from browline.store.models import Job


@dataclass(frozen=True)
class End:
    """What the job came to, and where to read more."""

    sentence: str
    address: str
    link: str


def job_end(job: Job) -> End:
    """The end of a finished job."""
    ends = {"import": _taken, "review": _reviewed, "report": _written, "plan": _planned}
    return ends.get(job.verb, _otherwise)(job)


def _taken(job: Job) -> End:
    import_ids = job.result.get("imports") or []
    if not import_ids:
        same = "Everything in this file was here already; nothing changed."
        # A job that was done before the version that counts strays says nothing of them.
        unnamed = job.result.get("strays", {}).get("sentence", "")
        return End(f"{same} {unnamed}".rstrip(), reverse("readings"), "Readings")
    files = job.result["files"]
    rows, taken = (sum(file[part] for file in files) for part in ("rows", "taken"))
    sentence = (
        f"{display.number(taken)} of {display.number(rows)} rows taken. The receipt says what became of each."
    )
    address = reverse("receipt", args=[import_ids[0]]) if len(import_ids) == 1 else reverse("readings")
    return End(sentence, address, "Read the receipt" if len(import_ids) == 1 else "Read the receipts")


def _reviewed(job: Job) -> End:
    return End("The readings have been reviewed.", reverse("today"), "See what to do")


def _written(job: Job) -> End:
    return End("The report is written.", reverse("reports"), "See the reports")


def _planned(job: Job) -> End:
    sentence = (
        f"{job.result['visits']} visits are proposed." if job.result["visits"] else "No visit is proposed."
    )
    return End(sentence, reverse("plan", args=[job.result["plan"]]), "Look at the plan")


def _otherwise(job: Job) -> End:
    return End("Done.", reverse("today"), "Go to Today")
