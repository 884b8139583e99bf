"""The verbs a job can carry out: name -> function of (book, progress, **arguments) giving a JSON-able result."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from browline.cli.writing import write_review
from browline.intake import from_toml
from browline.services.book.jobs import run
from browline.services.imports.mapping import FileAnswers
from browline.services.imports.run import import_file
from browline.services.review.run import review as review_book
from browline.services.training.visit_plan import propose
from browline.services.training.visit_plan.options import options_of
from browline.store.book import open_book
from browline.store.folder import Book

Progress = Callable[[int, int, str], None]


def take(
    book: Book,
    progress: Progress,
    *,
    path: str,
    mappings: dict[str, str] | None = None,
    zone: str | None = None,
    kind: str | None = None,
    people: bool = False,
    actor: str = "educator",
) -> dict[str, Any]:
    """Import a file; `mappings` are TOML texts by table label; `people`: she vouches for the values."""
    given = {label: from_toml(text) for label, text in (mappings or {}).items()}
    receipt = import_file(
        book,
        Path(path),
        kind=kind,
        mapping=given,
        zone=zone,
        answers=FileAnswers(people="yes" if people else ""),
        actor=actor,
        progress=progress,
    )
    return {
        **receipt.as_json(),
        "notes": list(receipt.notes),
        "requests": list(receipt.requests),
        "imports": list(receipt.imports),
    }


def review(
    book: Book, progress: Progress, *, people: bool = False, actor: str = "educator"
) -> dict[str, Any]:
    """Review the book."""
    new_review = review_book(book, people=people, actor=actor, progress=progress)
    return {"review": new_review.pk, "findings": len(new_review.document.findings)}


def report(
    book: Book, progress: Progress, *, formats: list[str], paper: str | None = None, actor: str = "educator"
) -> dict[str, Any]:
    """Write the report of the last review in the formats asked for (pdf, html, xlsx, json)."""
    written = []
    for done, suffix in enumerate(formats):
        progress(done, len(formats), f"writing {suffix}")
        written.append(write_review(book, suffix, paper=paper, actor=actor).name)
    return {"written": written}


def plan(
    book: Book, progress: Progress, *, options: dict[str, Any], actor: str = "educator"
) -> dict[str, Any]:
    """Propose a session plan."""
    from django.utils import timezone

    proposal = propose(options_of(options), actor=actor, now=timezone.now(), progress=progress)
    return {"plan": proposal.pk, "visits": len(proposal.document.visits)}


VERBS: dict[str, Callable[..., dict[str, Any]]] = {
    "import": take,
    "review": review,
    "report": report,
    "plan": plan,
}


def carry_out(folder: Path, number: int) -> None:
    """Open the book in `folder` and carry out its job of this number."""
    run(open_book(folder), number, VERBS)
