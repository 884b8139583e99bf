"""`browline open`: the pages, for one person on this computer; and, where asked, signing in from phones."""

from pathlib import Path

from browline.errors import NotUnderstood
from browline.roles import EDUCATOR
from browline.services.book.change_preference import take_computers_zone
from browline.services.book.clock import computers_zone
from browline.store.book import default_folder, open_book
from browline.web.phones import checked, network_address
from browline.web.server import serve


def pages(
    address: str = "",
    /,
    *,
    book: Path | None = None,
    port: int = 0,
    browser: bool = True,
    phones: bool = False,
) -> None:
    """Open the pages in a browser, on this computer only, signed in by a one-time link.

    Parameters
    ----------
    address
        with --phones: this computer's address on the ward's network; looked up when not given.
    book
        the book's folder.
    port
        the port to listen on; 0 takes a free one.
    browser
        open the browser; with --no-browser only the link is printed.
    phones
        let phones on the same network sign in to sessions and use passes; not encrypted.
    """
    if address and not phones:
        raise NotUnderstood(
            f"{address!r} was given without --phones.",
            "An address says where phones reach the pages.",
            "Write browline open --phones ADDRESS, or leave the address out.",
        )

    local_zone = computers_zone()
    opened = open_book(book or default_folder())

    if zone := take_computers_zone(local_zone, EDUCATOR):
        print(f"Times of this book are those of {zone}, as on this computer. Change it under Choices.")
    host = (checked(address) if address else network_address()) if phones else ""
    serve(opened, port, open_browser=browser, phones=host)
