"""Listening on this computer, or a refusal in words."""

import os
import socket
from collections.abc import Callable
from typing import Protocol

from browline.errors import InputRefused

LOOPBACK = "127.0.0.1"


class Trigger(Protocol):
    """Wakes the loop of a server."""

    def pull_trigger(self, thunk: Callable[[], None], /) -> None:
        """Let the loop call this."""


class Threads(Protocol):
    """The threads in which a server answers."""

    def shutdown(self, *, timeout: float) -> object:
        """Let them end."""


class Server(Protocol):
    """What is used of Waitress's server, which has no types of its own."""

    effective_port: int
    trigger: Trigger
    task_dispatcher: Threads

    def run(self) -> None:
        """Answer until closed or interrupted."""

    def close(self) -> None:
        """Stop answering."""


def listen(host: str, port: int) -> socket.socket:
    """A socket bound to `host`; refuses a port in use, or an address that is not this computer's, in words."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":
        # Else a port just closed stays busy for a minute. On Windows the option would share a port in use.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
    except (OSError, OverflowError) as fault:
        listener.close()
        why = getattr(fault, "strerror", None) or fault
        if host != LOOPBACK:
            raise InputRefused(
                f"The address {host} cannot be used ({why}).",
                "Phones are served on an address that this computer has on their network.",
                "Look the address up in the network settings, or leave it out.",
            ) from fault
        raise InputRefused(
            f"Port {port} cannot be used ({why}).",
            "The pages need a free port of this computer.",
            "Close the other program, or choose another port with --port N.",
        ) from fault
    return listener
