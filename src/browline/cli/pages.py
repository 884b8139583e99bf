"""`browline open`: the pages, for one person on this computer."""

from pathlib import Path


def pages(*, book: Path | None = None, port: int = 0, browser: bool = True) -> None:
    """Open the pages in a browser, on this computer only, signed in by a one-time link.

    Parameters
    ----------
    book
        the book's folder.
    port
        the port to listen on; 0 takes a free one.
    browser
        open the browser; with --no-browser only the link is printed.
    """
    from browline.store.book import default_folder, open_book

    opened = open_book(book or default_folder())
    from browline.web.server import serve

    serve(opened, port, open_browser=browser)
