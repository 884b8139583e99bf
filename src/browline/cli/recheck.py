"""`browline recheck`: a questioned reading, or many of them, from a JSON file."""

import json
import sys
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from browline.cli.arguments import check_folder
from browline.cli.as_json import put_text
from browline.cli.show_recheck import show_recheck
from browline.documents.recheck import recheck_json
from browline.errors import InputRefused
from browline.services.book.clock import ward_zone
from browline.services.questioned.desk import Refused, desk_of_book, desk_without_book, replay
from browline.services.questioned.document import recheck_document
from browline.store.book import begun, default_folder, existing_book, open_book


def recheck(
    file: Annotated[str, Parameter(allow_leading_hyphen=True)],
    *,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
    book: Path | None = None,
) -> None:
    """Say what readings that disagree tell together: the core, which misled and how, and what to do next.

    For teaching, debrief and review. Nothing is kept, and nobody is named.

    Parameters
    ----------
    file
        one question as JSON, or several as {"cases": [...]}; - for standard input.
    json_to
        write the answers as JSON to this file, or - for standard output.
    book
        the book's folder: its own estimates, rules and lines are used. Without one, published values are.
    """
    if json_to not in (None, "-"):
        check_folder(Path(json_to))
    cases = cases_in(_read(file))
    answers = list(replay(cases, _desk(book)))
    document = recheck_document(answers)
    text = recheck_json(document)
    if json_to != "-":
        show_recheck(document)
    if json_to:
        put_text(json_to, text)
    _refuse([answer for answer in answers if isinstance(answer, Refused)], total=len(answers))


def cases_in(text: str) -> list[Any]:
    """The cases of a document: those it lists, or the one that it is."""
    try:
        document = json.loads(text)
    except ValueError as fault:
        raise InputRefused(
            "This is not JSON.", "recheck takes one question, or several as cases.", f"Mend it: {fault}."
        ) from None
    if not isinstance(document, dict) or "cases" not in document:
        return [document]
    if set(document) != {"cases"} or not isinstance(document["cases"], list) or not document["cases"]:
        raise InputRefused(
            "The cases cannot be read.",
            'Several questions are {"cases": [...]} and nothing else.',
            "Mend it.",
        )
    return document["cases"]


def _read(file: str) -> str:
    try:
        return sys.stdin.read() if file == "-" else Path(file).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        raise InputRefused(
            f"{file} cannot be read.",
            "recheck takes a JSON file, or - for standard input.",
            "Check its name.",
        ) from None


def _desk(folder: Path | None) -> Any:
    """The desk of the book named, else of the one that is there, else of none: a look makes no book."""
    if folder is None and not begun(default_folder()):
        return desk_without_book()
    open_book(existing_book(folder or default_folder()))
    from django.utils import timezone

    return desk_of_book(timezone.now().astimezone(ward_zone()).date())


def _refuse(refused: list[Any], total: int) -> None:
    """End as refused where a case was, after all others were answered."""
    if total == 1 and refused:
        raise refused[0].why
    if refused:
        reasons = " ".join(f"Case {refusal.number}: {refusal.why}" for refusal in refused)
        raise InputRefused(
            f"{len(refused)} of {total} cases {'was' if len(refused) == 1 else 'were'} refused.",
            reasons,
            "Mend them.",
        )
