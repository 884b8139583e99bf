"""The verbs a job can carry out: name -> function of (book, progress, **arguments) giving a JSON-able result."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from browline.store.book import Book

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
    from browline.intake import from_toml
    from browline.services.imports.mapping import Said
    from browline.services.imports.run import import_file

    given = {label: from_toml(text) for label, text in (mappings or {}).items()}
    receipt = import_file(
        book,
        Path(path),
        kind=kind,
        mapping=given,
        zone=zone,
        said=Said(people="yes" if people else ""),
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
    from browline.services.review.run import review as carry_out

    made = carry_out(book, people=people, actor=actor, progress=progress)
    return {"review": made.pk, "findings": len(made.result["findings"])}


def report(
    book: Book, progress: Progress, *, formats: list[str], paper: str | None = None, actor: str = "educator"
) -> dict[str, Any]:
    """Write the report of the last review in the formats asked for (pdf, html, xlsx, json)."""
    from browline.cli.writing import write_review

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

    from browline.services.training.visit_plan import propose
    from browline.services.training.visit_plan.options import options_of

    made = propose(options_of(options), actor=actor, now=timezone.now(), progress=progress)
    return {"plan": made.pk, "visits": len(made.result["visits"])}


VERBS: dict[str, Callable[..., dict[str, Any]]] = {
    "import": take,
    "review": review,
    "report": report,
    "plan": plan,
}
