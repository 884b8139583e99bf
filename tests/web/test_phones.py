"""What phones on the network reach. 127.0.0.2, a second address of this computer, stands for the network's."""

import http.client
import re
import socket

import pytest
from browsing import served

LAN = "127.0.0.2"


def on_this_computer(address):
    with socket.socket() as probe:
        try:
            probe.bind((address, 0))
        except OSError:
            return False
    return True


pytestmark = pytest.mark.skipif(
    not on_this_computer(LAN), reason="this system gives loopback one address only"
)


@pytest.fixture
def doors(book):
    """The port for this computer, and the address for phones."""
    from browline.web import server

    with served() as port, server.open_to_phones(LAN) as address:
        yield port, address


def asked(address, path, method="GET", body=None, **headers):
    host = address.removeprefix("http://")
    connection = http.client.HTTPConnection(host, timeout=5)
    connection.request(method, path, body=body, headers={"Connection": "close", **headers})
    answer = connection.getresponse()
    answer.body = answer.read().decode()
    connection.close()
    return answer


def cookies(answer):
    return "; ".join(kept.split(";")[0] for kept in answer.headers.get_all("Set-Cookie"))


def session_cookie(port):
    """What a browser that came in as the educator on this computer would send."""
    from browline.web.access import make_token

    here = f"http://127.0.0.1:{port}"
    cookie = cookies(asked(here, f"/in/{make_token()}/"))
    assert asked(here, "/", Cookie=cookie).status == 200
    return cookie


def test_phones_reach_the_page_to_sign_in_and_what_it_needs(doors):
    _, address = doors
    assert asked(address, "/here/").status == 200
    assert asked(address, "/static/browline/page.css").status == 200
    assert asked(address, "/static/browline/outbox.js").status == 200


def test_somebody_signs_in_from_a_phone(doors):
    from django.utils import timezone

    from browline.services.training.sessions import plan_session
    from browline.store.models import Attendance

    _, address = doors
    tonight = plan_session(timezone.now(), ward="Maple", actor="educator")
    form = {"Content-Type": "application/x-www-form-urlencoded"}
    answer = asked(address, f"/here/{tonight.code}/", "POST", "identifier=00417", **form)
    assert answer.status == 200 and "You are signed in" in answer.body
    assert Attendance.objects.get().person.identifier == "00417"


@pytest.mark.parametrize(
    "page", ["/", "/teaching/", "/teaching/sessions/", "/readings/", "/passes/", "/choices/"]
)
def test_the_educators_pages_are_closed_there_even_with_the_educators_cookie(doors, page):
    port, address = doors
    cookie = session_cookie(port)
    assert asked(address, page, Cookie=cookie).status == 403


def test_the_educators_link_does_not_work_there_and_is_not_used_up(doors):
    from browline.web.access import make_token

    port, address = doors
    token = make_token()
    assert asked(address, f"/in/{token}/").status == 403
    assert asked(f"http://127.0.0.1:{port}", f"/in/{token}/").status == 302


def test_a_pass_works_there(doors):
    from datetime import timedelta

    from django.utils import timezone

    from browline.roles import VIEWER
    from browline.services.book import access_links

    _, address = doors
    token = access_links.issue(VIEWER, until=timezone.now() + timedelta(hours=1), actor="educator")
    answer = asked(address, f"/in/pass/{token}/")
    assert answer.status == 302
    cookie = cookies(answer)
    assert asked(address, answer.getheader("Location"), Cookie=cookie).status == 200
    assert asked(address, "/readings/", Cookie=cookie).status == 403


def test_files_are_not_taken_from_phones(doors):
    _, address = doors
    kind = {"Content-Type": "multipart/form-data; boundary=x"}
    assert asked(address, "/readings/bring/", "POST", "--x--", **kind).status == 415


def test_a_large_form_is_refused_before_it_is_read(doors):
    _, address = doors
    kind = {"Content-Type": "application/x-www-form-urlencoded"}
    assert asked(address, "/here/", "POST", "code=" + "x" * 300_000, **kind).status == 413


def test_another_name_is_not_answered_there(doors):
    _, address = doors
    assert asked(address, "/here/", Host="rebound.example").status == 400


def links_of_a_new_pass(port):
    """What the educator's page shows when a pass is made on this computer."""
    here, cookie = f"http://127.0.0.1:{port}", session_cookie(port)
    form = asked(here, "/passes/", Cookie=cookie)
    mark = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', form.body)[1]
    kind = {"Content-Type": "application/x-www-form-urlencoded", "Origin": here}
    cookie = f"{cookie}; {cookies(form)}"
    posted = f"csrfmiddlewaretoken={mark}&role=viewer&hours=12"
    return re.findall(
        r"https?://[\w.:]+/in/pass/", asked(here, "/passes/", "POST", posted, Cookie=cookie, **kind).body
    )


def test_a_server_tells_its_own_address_for_phones_and_no_others(book):
    """Two doors of one program, as of two books: each says what it was given, and nothing is kept between them."""
    from browline.web import server

    with server.open_to_phones(LAN) as address:
        assert address.startswith(f"http://{LAN}:")
        with served(phones=address) as port:
            assert set(links_of_a_new_pass(port)) == {f"{address}/in/pass/"}
        with served() as port:
            assert set(links_of_a_new_pass(port)) == {f"http://127.0.0.1:{port}/in/pass/"}


def test_the_settings_stay_as_they_were(book):
    from django.conf import settings

    from browline.web import server

    before = list(settings.ALLOWED_HOSTS)
    with server.open_to_phones(LAN):
        assert list(settings.ALLOWED_HOSTS) == before


def test_the_door_for_this_computer_is_not_asked_by_the_networks_name(doors):
    port, _ = doors
    assert asked(f"http://127.0.0.1:{port}", "/here/", Host=LAN).status == 400


def test_the_port_stays_the_same_so_that_printed_codes_go_on_working(book):
    from browline.web import phones, server

    with server.open_to_phones(LAN) as first:
        pass
    if not first.endswith(f":{phones.PORT}"):
        pytest.skip(f"port {phones.PORT} is in use on this computer")
    with server.open_to_phones(LAN) as second:
        assert first == second


def test_it_says_how_to_reach_it_and_what_it_does_not_protect(book, capsys, monkeypatch):
    from browline.web import server

    class Interrupted:
        effective_port = 8765

        def run(self):
            raise KeyboardInterrupt

        def close(self):
            pass

    told = []
    monkeypatch.setattr(server, "make_server", lambda port, *, phones: told.append(phones) or Interrupted())
    with pytest.raises(KeyboardInterrupt):
        server.serve(book, 8765, open_browser=False, phones=LAN)
    said = capsys.readouterr().out
    assert f"{told[0]}/here/" in said and "not encrypted" in said
    assert told[0].startswith(f"http://{LAN}:")


@pytest.mark.parametrize("given", ["ward-pc", "0.0.0.0", "::1", "224.0.0.1", "192.168.1", "192.168.1.5:80"])
def test_what_is_no_address_of_one_computer_is_refused(given):
    from browline.errors import NotUnderstood
    from browline.web.phones import checked

    with pytest.raises(NotUnderstood, match="no address that phones could be told"):
        checked(given)


def test_an_address_that_is_not_this_computers_is_refused_in_words(book):
    from browline.errors import InputRefused
    from browline.web import server

    with pytest.raises(InputRefused, match="Look the address up"), server.open_to_phones("192.0.2.77"):
        pass


def test_an_address_without_phones_is_not_understood(book):
    from browline.cli.pages import pages
    from browline.errors import NotUnderstood

    with pytest.raises(NotUnderstood, match="--phones"):
        pages("192.168.1.5", book=book.folder)
