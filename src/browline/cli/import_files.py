"""`browline import`: take files into the book and print what came in."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from browline.cli.as_json import put_json
from browline.cli.asking import until_decided
from browline.cli.progress import bar
from browline.cli.show import show_receipt
from browline.cli.writing import write_request
from browline.columns import IMPORT_KINDS, KIND_IDS
from browline.errors import InputRefused, NotUnderstood, Refusal
from browline.intake import from_toml, in_words
from browline.intake.time_text import ORDERS
from browline.services.imports.doubtful_dates import doubtful_dates_note
from browline.services.imports.entries import JoinedDocument
from browline.services.imports.look import preview
from browline.services.imports.mapping import FileAnswers
from browline.services.imports.receipts import joined
from browline.services.imports.run import import_file
from browline.store.book import default_folder, open_book

AS = f"{', '.join(KIND_IDS[:-1])} or {KIND_IDS[-1]}; recognised when not said."


def take(
    *files: Path,
    book: Path | None = None,
    kind: Annotated[str | None, Parameter(name="--as", help=AS)] = None,
    mapping: Annotated[Path | None, Parameter(name="--map")] = None,
    show_map: bool = False,
    zone: str | None = None,
    date_order: str | None = None,
    these_are_people: bool = False,
    request: Path | None = None,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
) -> None:
    """Add files to the book; print a receipt and what these files can and cannot answer.

    A file that is refused does not stop the others; it is named at the end, with its reason.

    Parameters
    ----------
    files
        the exports: CSV, XLSX, Parquet or FHIR (JSON, NDJSON).
    book
        the book's folder.
    mapping
        a TOML file that says which heading holds which column (see --show-map).
    show_map
        print the mapping that would be used, take nothing.
    zone
        the ward's time zone, such as Europe/London.
    date_order
        dmy, mdy or ymd: how dates are written where a file's own rows leave it open; asked for on a terminal.
    these_are_people
        go on although values look unlike people's temperatures or many were mended: you have looked, and they are.
    request
        write one page (PDF or HTML) that asks the data team for the columns this book lacks.
    json_to
        write the receipt as JSON to this file, or - for standard output.
    """
    if not files:
        raise NotUnderstood("No file was named.", "import takes one file or several.", "Name the export.")
    absent = [str(file) for file in files if not file.is_file()]
    if absent:
        raise InputRefused(
            f"Not a file: {', '.join(absent)}.", "Nothing was taken.", "Check names and folders."
        )
    _refuse_unknown(kind)
    _refuse_unknown_order(date_order)
    opened = open_book(book or default_folder())
    if show_map and kind is not None and IMPORT_KINDS[kind].reader == "grid":
        raise NotUnderstood(
            f"A {kind} has no mapping.", "It is read by its days and headings.", "Leave --show-map out."
        )
    if show_map:
        looks, refused = _each(files, lambda file: preview(opened, file, kind=kind))
        for look in looks:
            _print_maps(look)
        _end_refused(refused, total=len(files))
        return
    given = _mapping(mapping)

    def take_file(file: Path) -> Any:
        def import_with(answers: FileAnswers) -> Any:
            with _bar(file.name) as tell:
                return import_file(
                    opened, file, kind=kind, mapping=given, zone=zone, answers=answers, progress=tell
                )

        return until_decided(import_with, FileAnswers(date_order, "yes" if these_are_people else ""))

    receipts, refused = _each(files, take_file)
    receipt = joined(receipts, refused)
    receipt["notes"] += doubtful_dates_note(opened)
    if receipts and json_to != "-":
        _print(receipt)
    if json_to:
        put_json(json_to, receipt)
    if receipts and request is not None:
        write_request(request)
        print(f"wrote {request}", file=sys.stderr)
    _end_refused(refused, total=len(files))


def _each(files: tuple[Path, ...], action: Callable[[Path], Any]) -> tuple[list[Any], dict[str, Refusal]]:
    """What came of every file that was not refused, and the refusals of the others by the file's name."""
    answers, refused = [], {}
    for file in files:
        try:
            answers.append(action(file))
        except Refusal as refusal:
            refused[_distinct_name(file, files)] = refusal
    return answers, refused


def _distinct_name(file: Path, files: tuple[Path, ...]) -> str:
    """Its name; with its folder where another file of these bears the same."""
    return file.name if sum(another.name == file.name for another in files) == 1 else str(file)


def _end_refused(refused: dict[str, Refusal], total: int) -> None:
    """End as refused where a file was, after all others were taken."""
    if not refused:
        return
    refusals = [refusal.named(name) for name, refusal in refused.items()]
    if total == 1:
        raise refusals[0]
    ending = InputRefused if any(isinstance(refusal, InputRefused) for refusal in refusals) else NotUnderstood
    raise ending(
        f"{len(refusals)} of {total} files {'was' if len(refusals) == 1 else 'were'} refused.",
        " ".join(str(refusal) for refusal in refusals),
        "The other files were not held up." if len(refusals) < total else "Nothing was taken.",
    )


def _refuse_unknown(kind: str | None) -> None:
    if kind is not None and kind not in KIND_IDS:
        raise NotUnderstood(f"{kind!r} is not a kind.", f"The kinds are {', '.join(KIND_IDS)}.", "Mend --as.")


def _refuse_unknown_order(order: str | None) -> None:
    if order is not None and order not in ORDERS:
        known = "; ".join(f"{known} ({in_words(known)})" for known in ORDERS)
        raise NotUnderstood(f"{order!r} is no order of dates.", f"Known are {known}.", "Mend --date-order.")


def _mapping(path: Path | None) -> Any:
    if path is None:
        return None
    try:
        return from_toml(path.read_text(encoding="utf-8-sig"))
    except OSError as fault:
        raise InputRefused(
            f"{path} cannot be read.", "--map takes a TOML file.", "Check its name."
        ) from fault


def _print_maps(looks: Any) -> None:
    for look in looks:
        print(look.guess.mapping.as_toml())
        for question in look.questions:
            print(f"# to decide: {question.text} ({' or '.join(question.choices)})")
        for heading in look.guess.unmapped:
            print(f"# not taken: {heading}")


def _bar(name: str) -> Any:
    return bar(name)


def _print(receipt: JoinedDocument) -> None:
    show_receipt(receipt)
