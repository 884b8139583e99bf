"""Where a finished job leads: a sentence, and the page to go on to."""

from dataclasses import dataclass

from django.urls import reverse

from browline.store.models import Import, Job


@dataclass(frozen=True)
class End:
    """What the job came to, and where to read more."""

    sentence: str
    address: str
    link: str


def outcome_of(job: Job) -> End:
    """The end of a finished job."""
    ends = {"import": _taken, "review": _reviewed, "report": _written}
    return ends.get(job.verb, _otherwise)(job)


def _taken(job: Job) -> End:
    files = job.result.get("files", [])
    rows, taken = (sum(file[part] for file in files) for part in ("rows", "taken"))
    sentence = f"{taken:,} of {rows:,} rows taken. Nothing was lost: the receipt adds up."
    latest = Import.objects.filter(at__gte=job.made).last()
    address = reverse("receipt", args=[latest.pk]) if latest else reverse("readings")
    return End(sentence, address, "Read the receipt")


def _reviewed(job: Job) -> End:
    return End("The readings have been reviewed.", reverse("today"), "See what to do")


def _written(job: Job) -> End:
    return End("The report is written.", reverse("reports"), "See the reports")


def _otherwise(job: Job) -> End:
    return End("Done.", reverse("today"), "Go to Today")
