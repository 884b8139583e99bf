"""Serve the pages to this computer and no other.

Waitress keeps what passes through it in memory here: by its own settings it would lay large requests and
answers in temporary files, and a request may be a file with patients' identifiers.
"""

import os
import socket
from typing import Any

from browline.errors import InputRefused
from browline.store.book import Book

LOOPBACK = "127.0.0.1"
LARGEST_UPLOAD = 512 * 1024 * 1024


def serve(book: Book, port: int, *, open_browser: bool) -> None:
    """Show the book's pages on `port` (0: any free one) until interrupted; prints a link that works once."""
    from browline.web.readings.slots import sweep_folder

    sweep_folder(book.jobs)
    server = make_server(port)
    link = one_time_link(server.effective_port)
    print(f"The pages are open on this computer only. This link works once, for ten minutes:\n\n  {link}\n")
    print("Press Ctrl+C to close them.", flush=True)
    if open_browser:
        import webbrowser

        webbrowser.open(link)
    try:
        server.run()
    finally:
        server.close()


def make_server(port: int) -> Any:
    """A server for the open book, bound to loopback."""
    from django.conf import settings
    from django.core.wsgi import get_wsgi_application
    from waitress.server import create_server

    listener = _listen(port)
    # Cookies do not know ports, so two books open at once need cookies of different names.
    settings.SESSION_COOKIE_NAME = f"browline-{listener.getsockname()[1]}"
    settings.CSRF_COOKIE_NAME = f"browline-form-{listener.getsockname()[1]}"
    return create_server(
        get_wsgi_application(),
        sockets=[listener],
        threads=6,
        ident=None,
        max_request_body_size=LARGEST_UPLOAD,
        inbuf_overflow=LARGEST_UPLOAD + 1,
        outbuf_overflow=LARGEST_UPLOAD + 1,
    )


def _listen(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":
        # Else a port just closed stays busy for a minute. On Windows the option would share a port in use.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((LOOPBACK, port))
    except (OSError, OverflowError) as fault:
        listener.close()
        raise InputRefused(
            f"Port {port} cannot be used ({getattr(fault, 'strerror', None) or fault}).",
            "The pages need a free port of this computer.",
            "Close the other program, or choose another port with --port N.",
        ) from fault
    return listener


def one_time_link(port: int) -> str:
    """The address that lets one browser in, once."""
    from django.urls import reverse

    from browline.web.access import make_token

    return f"http://{LOOPBACK}:{port}{reverse('come-in', args=[make_token()])}"
