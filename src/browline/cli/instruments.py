"""`browline instruments`: where the instruments are today, and what is due."""

from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from browline.cli.arguments import check_folder
from browline.cli.as_json import put_json
from browline.services.book.clock import ward_zone
from browline.services.instruments.as_json import as_json
from browline.services.instruments.status import standing
from browline.store.book import default_folder, existing_book, open_book


def instruments(
    *,
    book: Path | None = None,
    json_to: Annotated[str | None, Parameter(name="--json", allow_leading_hyphen=True)] = None,
) -> None:
    """Say how many instruments are located of those in service, what is due today, and what each ward has ready.

    Parameters
    ----------
    book
        the book's folder.
    json_to
        write it as JSON to this file, or - for standard output.
    """
    from django.utils import timezone

    if json_to not in (None, "-"):
        check_folder(Path(json_to))
    opened = open_book(existing_book(book or default_folder()))
    payload = as_json(standing(opened, timezone.now().astimezone(ward_zone())))
    if json_to != "-":
        _show(payload)
    if json_to:
        put_json(json_to, payload)


def _show(payload: dict[str, Any]) -> None:
    print(payload["count"]["sentence"])
    print()
    print("Due today" if payload["due"] else "Nothing is due today.")
    for task in payload["due"]:
        print(f"  {task['title']}. {' '.join(task['reasons'])}")
        print(f"    {task['action']}")
    print()
    for ward in payload["wards"]:
        away = ward["missing"] if payload["count"]["round_made"] else []
        missing = f"; not located: {', '.join(away)}" if away else ""
        print(f"  {ward['ward'] or 'Ward not said'}: {ward['sentence']}{missing}")
