"""The pages as phones on the same network reach them: signing in, and what a pass opens.

A listener of its own, so that what comes through it is never taken for this computer. It brings no files
in, lets nobody in as the educator, and takes small forms only. What passes is not encrypted.
"""

import socket
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from ipaddress import ip_address
from urllib.parse import urlsplit
from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

from django.core.handlers.wsgi import WSGIHandler, WSGIRequest
from django.http.request import split_domain_port

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

TOLD = "browline.phones.address"


@dataclass(frozen=True)
class PhoneDoor:
    """A listener for phones, and the address at which they reach it, such as http://192.168.1.20:8737."""

    server: Server
    address: str


def address(environ: Mapping[str, object]) -> str:
    """Where phones reach the pages, as a request (its META) was told; empty while they are not open to phones."""
    return str(environ.get(TOLD, ""))


def network_address() -> str:
    """This computer's address on its network. No packet is sent: a datagram socket only looks up its way."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 9))
            ip = str(probe.getsockname()[0])
        except OSError:
            ip = "0.0.0.0"
    if ip_address(ip).is_loopback or ip_address(ip).is_unspecified:
        raise InputRefused(
            "This computer is on no network that browline can see.",
            "Phones reach the pages through the network that both are on.",
            "Join the network, or say this computer's address on it: browline open ADDRESS --phones.",
        )
    return ip


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


def make_server_for_phones(host: str, port: int = PORT) -> PhoneDoor:
    """A listener on `host` for phones, on any free port where `port` is taken."""
    from waitress.server import create_server

    try:
        listener = listen(host, port)
    except InputRefused:
        listener = listen(host, 0)
    reached = f"http://{host}:{listener.getsockname()[1]}"
    server: Server = create_server(
        only_for_phones(telling(reached, PhoneHandler())),
        sockets=[listener],
        threads=8,
        ident=None,
        max_request_body_size=LARGEST_FORM,
        inbuf_overflow=LARGEST_FORM + 1,
        outbuf_overflow=64 * LARGEST_FORM,
    )
    return PhoneDoor(server, reached)


class PhoneRequest(WSGIRequest):
    """A request that may name this computer by its address on the phones' network."""

    def get_host(self) -> str:
        """The host asked for: that of the door, or one that the settings allow; any other is refused."""
        host = self.META.get("HTTP_HOST", "")
        if host and split_domain_port(host)[0] == urlsplit(address(self.META)).hostname:
            return str(host)
        return super().get_host()


class PhoneHandler(WSGIHandler):
    """The application behind the door for phones."""

    request_class = PhoneRequest


def telling(reached: str, application: WSGIApplication) -> WSGIApplication:
    """The application, told with each request where phones reach the pages."""

    def with_address(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        environ[TOLD] = reached
        return application(environ, start_response)

    return with_address


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
