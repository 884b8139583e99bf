"""Served to this computer and no other."""

import http.client
import socket

import pytest
from browsing import served


def test_it_listens_on_loopback_only(book):
    from browline.web.server import make_server

    server = make_server(0)
    try:
        assert server.socket.getsockname()[0] == "127.0.0.1"
    finally:
        server.close()


def test_a_port_in_use_is_refused_in_words(book):
    from browline.errors import InputRefused
    from browline.web.server import make_server

    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(InputRefused, match="choose another port"):
            make_server(other.getsockname()[1])


def asked(port, address, host):
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    connection.request("GET", address, headers={"Host": host, "Connection": "close"})
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer


def test_another_name_for_this_computer_is_not_answered(book):
    with served() as port:
        assert asked(port, "/", f"127.0.0.1:{port}").status == 403
        assert asked(port, "/", "rebound.example").status == 400


def test_it_does_not_say_what_it_is(book):
    with served() as port:
        assert asked(port, "/", f"127.0.0.1:{port}").getheader("Server") in (None, "")


def test_two_books_open_at_once_keep_their_sessions_apart(book):
    from django.conf import settings

    with served():
        first = settings.SESSION_COOKIE_NAME
    with served():
        assert first != settings.SESSION_COOKIE_NAME


def test_serve_prints_a_link_that_works_once(book, capsys, monkeypatch):
    from browline.web import server

    class Instead:
        effective_port = 8765

        def run(self):
            raise KeyboardInterrupt

        def close(self):
            pass

    monkeypatch.setattr(server, "make_server", lambda port, *, phones: Instead())
    with pytest.raises(KeyboardInterrupt):
        server.serve(book, 8765, open_browser=False)
    assert "http://127.0.0.1:8765/in/" in capsys.readouterr().out


def test_a_server_that_closes_while_it_is_asked_to_is_closed_all_the_same(book):
    import threading
    from unittest.mock import patch

    from browline.web.server import close, make_server

    server = make_server(0)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    pull = server.trigger.pull_trigger

    def pull_twice(thunk):
        pull(thunk)
        thread.join(timeout=5)
        pull()

    with patch.object(server.trigger, "pull_trigger", pull_twice):
        close(server, thread)
    assert not thread.is_alive()
