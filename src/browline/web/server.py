"""Serve the pages to this computer, and to phones only where that was asked for.

Waitress keeps what passes through it in memory here: by its own settings it would lay large requests and
answers in temporary files, and a request may be a file with patients' identifiers.
"""

import textwrap
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from browline.store.folder import Book
from browline.web.access import make_token
from browline.web.downloads import sweep_downloads
from browline.web.phones import WARNING, make_server_for_phones, telling
from browline.web.readings.imports.slots import sweep_folder
from browline.web.sockets import LOOPBACK, Server, listen

LARGEST_UPLOAD = 512 * 1024 * 1024


def serve(book: Book, port: int, *, open_browser: bool, phones: str = "") -> None:
    """Show the book's pages on `port` (0: any free one) until interrupted; prints a link that works once.

    `phones`: this computer's address on the network from which phones may sign in; empty for none.
    """
    sweep_folder(book.jobs)
    sweep_downloads(book.jobs)
    with open_to_phones(phones) as reached:
        server = make_server(port, phones=reached)
        link = sign_in_link(server.effective_port)
        print(_opening_words(link, reached), flush=True)
        if open_browser:
            import webbrowser

            webbrowser.open(link)
        try:
            server.run()
        finally:
            server.close()


def _opening_words(link: str, reached: str) -> str:
    only = "" if reached else " only"
    this_computer = (
        f"The pages are open on this computer{only}. This link works once, for ten minutes:\n\n  {link}\n"
    )
    there = f"\nPhones on the same network sign in at\n\n  {reached}/here/\n\n{textwrap.fill(WARNING, 90)}\n"
    return f"{this_computer}{there if reached else ''}\nPress Ctrl+C to close them."


@contextmanager
def open_to_phones(host: str) -> Iterator[str]:
    """Listen for phones on `host` meanwhile (not where it is empty); says how they reach the pages."""
    if not host:
        yield ""
        return

    door = make_server_for_phones(host)
    thread = threading.Thread(target=door.server.run, daemon=True)
    thread.start()
    try:
        yield door.address
    finally:
        close(door.server, thread)


def close(server: Server, thread: threading.Thread) -> None:
    """Close a server in the thread that runs it, or its loop would wait on a socket that is gone."""
    # The loop may find the request to close while it answers an earlier pull, and be closed before this one is written.
    with suppress(OSError):
        server.trigger.pull_trigger(server.close)
    thread.join(timeout=5)
    server.task_dispatcher.shutdown(timeout=1)


def make_server(port: int, *, phones: str = "") -> Server:
    """A server for the open book, bound to loopback; `phones`: the address at which phones reach the pages."""
    from django.conf import settings
    from django.core.wsgi import get_wsgi_application
    from waitress.server import create_server

    listener = listen(LOOPBACK, port)
    # Cookies do not know ports, so two books open at once need cookies of different names.
    settings.SESSION_COOKIE_NAME = f"browline-{listener.getsockname()[1]}"
    settings.CSRF_COOKIE_NAME = f"browline-form-{listener.getsockname()[1]}"
    server: Server = create_server(
        telling(phones, get_wsgi_application()),
        sockets=[listener],
        threads=6,
        ident=None,
        max_request_body_size=LARGEST_UPLOAD,
        inbuf_overflow=LARGEST_UPLOAD + 1,
        outbuf_overflow=LARGEST_UPLOAD + 1,
    )
    return server


def sign_in_link(port: int) -> str:
    """The address that lets one browser in, once."""
    from django.urls import reverse

    return f"http://{LOOPBACK}:{port}{reverse('come-in', args=[make_token()])}"
