"""The pages as phones on the same network reach them: signing in, and what a pass opens.

A listener of its own, so that what comes through it is never taken for this computer. It brings no files
in, lets nobody in as the educator, and takes small forms only. What passes is not encrypted.
"""

import socket
from collections.abc import Iterable
from ipaddress import ip_address
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from browline.errors import InputRefused, NotUnderstood
from browline.web.request_origin import MARK
from browline.web.sockets import Server, listen

# The same each time, so that an address printed on a sheet still works tomorrow.
PORT = 8737
LARGEST_FORM = 256 * 1024
CLOSED = ("/in/",)
OPEN = ("/in/pass/",)
WARNING = (
    "What passes between phones and this computer is not encrypted: use it only on the hospital's own network, as its "
    "policy allows. Names and staff identifiers pass; nothing about patients does. Codes are good for one session."
)

_opened: list[str] = []


def address() -> str:
    """Where phones reach the pages, such as http://192.168.1.20:8765; empty while they are not open to phones."""
    return _opened[-1] if _opened else ""


def own_address() -> str:
    """This computer's address on its network. No packet is sent: a datagram socket only looks up its way."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 9))
            found = str(probe.getsockname()[0])
        except OSError:
            found = "0.0.0.0"
    if ip_address(found).is_loopback or ip_address(found).is_unspecified:
        raise InputRefused(
            "This computer is on no network that browline can see.",
            "Phones reach the pages through the network that both are on.",
            "Join the network, or say this computer's address on it: browline open ADDRESS --phones.",
        )
    return found


def checked(text: str) -> str:
    """An IPv4 address of this computer as given; refuses names, and the address that stands for all networks."""
    try:
        given = ip_address(text)
    except ValueError:
        given = None
    if given is None or given.version != 4 or given.is_unspecified or given.is_multicast:
        raise NotUnderstood(
            f"{text!r} is no address that phones could be told.",
            "It is this computer's address on the ward's network, such as 192.168.1.20.",
            "Mend it, or leave it out to have it looked up.",
        )
    return str(given)


def make_server_for_phones(host: str, port: int = PORT) -> Server:
    """A listener on `host` for phones, on any free port where `port` is taken; `close_to_phones` afterwards."""
    from django.conf import settings
    from django.core.wsgi import get_wsgi_application
    from waitress.server import create_server

    try:
        listener = listen(host, port)
    except InputRefused:
        listener = listen(host, 0)
    server: Server = create_server(
        only_for_phones(get_wsgi_application()),
        sockets=[listener],
        threads=8,
        ident=None,
        max_request_body_size=LARGEST_FORM,
        inbuf_overflow=LARGEST_FORM + 1,
        outbuf_overflow=64 * LARGEST_FORM,
    )
    settings.ALLOWED_HOSTS = [*settings.ALLOWED_HOSTS, host]
    _opened.append(f"http://{host}:{server.effective_port}")
    return server


def close_to_phones() -> None:
    """Phones are told no address any more."""
    from django.conf import settings

    while _opened:
        host = _opened.pop().split("/")[2].split(":")[0]
        kept = list(settings.ALLOWED_HOSTS)
        if host in kept and host != "127.0.0.1":
            kept.remove(host)
        settings.ALLOWED_HOSTS = kept


def only_for_phones(application: WSGIApplication) -> WSGIApplication:
    """The application as phones may use it: requests are marked, files and the educator's link refused at the door."""

    def guarded(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        environ[MARK] = True
        path = environ.get("PATH_INFO", "")
        if path.startswith(CLOSED) and not path.startswith(OPEN):
            return _refuse(
                start_response, "403 Forbidden", "This link works on the educator's computer only."
            )
        if environ.get("CONTENT_TYPE", "").lower().startswith("multipart/"):
            return _refuse(start_response, "415 Unsupported Media Type", "Files are not taken from phones.")
        return application(environ, start_response)

    return guarded


def _refuse(start_response: StartResponse, status: str, sentence: str) -> list[bytes]:
    start_response(status, [("Content-Type", "text/plain; charset=utf-8"), ("Cache-Control", "no-store")])
    return [sentence.encode()]
