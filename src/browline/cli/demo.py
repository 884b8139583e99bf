"""`browline demo`: an invented hospital from its charts to its report."""

from pathlib import Path
from typing import Literal

from browline.cli.progress import bar
from browline.cli.show import show_planted, show_review
from browline.cli.writing import write_review
from browline.services.demo import demonstrate
from browline.store.book import open_book
from browline.web.server import serve as open_pages


def demo(
    *,
    size: Literal["small", "full"] = "small",
    seed: int = 1,
    serve: bool = True,
    book: Path | None = None,
) -> None:
    """Make an invented hospital, import it, review it, write the report, open the pages.

    Parameters
    ----------
    size
        small is about 60,000 readings, full about 1,000,000.
    seed
        another seed makes another hospital.
    serve
        open the pages at the end; --no-serve ends after the report.
    book
        the book's folder; the default is a folder of its own in demo-book.
    """
    opened = open_book(book or Path("demo-book") / f"{size}-{seed}")
    from django.utils import timezone

    with bar("Invented hospital") as tell:
        demonstration = demonstrate(opened, size=size, seed=seed, now=timezone.now(), progress=tell)
        written = [write_review(opened, suffix, name="report") for suffix in ("pdf", "html")]
    show_review(demonstration.review)
    show_planted(demonstration)
    for path in written:
        print(f"wrote {path}")
    print(f"\nOpen its pages again with: browline open --book {opened.folder}")
    if serve:
        open_pages(opened, 0, open_browser=True)
