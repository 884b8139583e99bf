"""A real browser on the real server: what it asked for, what it complained of, what axe finds."""

import os
import shutil
import threading
from contextlib import contextmanager
from urllib.parse import urlsplit

import pytest

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium() -> str:
    """Where Chromium is; without one the test is skipped, or fails where CI says it must be there."""
    found = shutil.which("chromium")
    if found is None:
        reason = "Chromium is not installed (apt-get install chromium)"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
    return found


@contextmanager
def served(**options):
    """The open book's pages on a free port of loopback; yields the port."""
    from browline.web.server import close, make_server

    point_here()
    server = make_server(0, **options)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield server.effective_port
    finally:
        close(server, thread)


def point_here():
    """This thread's connection goes to the open book: while the driver's loop runs, Django keeps a second one here."""
    from django.conf import settings
    from django.db import connections

    connections["default"].close()
    connections["default"].settings_dict["NAME"] = settings.DATABASES["default"]["NAME"]


@contextmanager
def browser():
    """Chromium, without a screen."""
    from playwright.sync_api import sync_playwright

    path = chromium()
    with sync_playwright() as play:
        opened = play.chromium.launch(executable_path=path, args=ARGUMENTS)
        try:
            yield opened
        finally:
            opened.close()


class Tab:
    """One tab: the page, every complaint in its console, every host it asked."""

    def __init__(self, opened, port, **options):
        self.origin = f"http://127.0.0.1:{port}"
        self.context = opened.new_context(**options)
        self.page = self.context.new_page()
        self.complaints, self.hosts = [], set()
        self.page.on("console", lambda said: self._said(said))
        self.page.on("pageerror", lambda fault: self.complaints.append(str(fault)))
        self.page.on("request", lambda asked: self.hosts.add(urlsplit(asked.url).netloc))

    def _said(self, said):
        if said.type in ("error", "warning"):
            self.complaints.append(said.text)

    def go(self, address):
        """Open an address of ours."""
        return self.page.goto(self.origin + address)

    def come_in(self):
        """Use a fresh one-time link."""
        from browline.web.access import make_token

        self.go(f"/in/{make_token()}/")

    def close(self):
        """Close the tab, so that the server has nobody left to wait for."""
        self.context.close()

    def overflow(self):
        """How many pixels the page is wider than its window."""
        return self.page.evaluate("document.documentElement.scrollWidth - window.innerWidth")

    def violations(self):
        """What axe finds wrong, as `rule: element`."""
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(self.page).response["violations"]
        return [f"{v['id']}: {node['target']}" for v in found for node in v["nodes"]]
