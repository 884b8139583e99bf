"""`browline instruments`: where the instruments are today, and what is due."""

from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from browline.cli.arguments import check_folder
from browline.cli.as_json import put_json
from browline.services.book.clock import ward_zone
from browline.services.instruments.as_json import as_json
from browline.services.instruments.status import standing
from browline.store.book import default_folder, open_book
from browline.store.book import standing as book_in


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
    opened = open_book(book_in(book or default_folder()))
    told = as_json(standing(opened, timezone.now().astimezone(ward_zone())))
    if json_to != "-":
        _show(told)
    if json_to:
        put_json(json_to, told)


def _show(told: dict[str, Any]) -> None:
    print(told["count"]["sentence"])
    print()
    print("Due today" if told["due"] else "Nothing is due today.")
    for errand in told["due"]:
        print(f"  {errand['title']}. {' '.join(errand['reasons'])}")
        print(f"    {errand['action']}")
    print()
    for ward in told["wards"]:
        away = ward["missing"] if told["count"]["round_made"] else []
        missing = f"; not located: {', '.join(away)}" if away else ""
        print(f"  {ward['ward'] or 'Ward not said'}: {ward['sentence']}{missing}")
