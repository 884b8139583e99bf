"""Who may see a page."""

from datetime import UTC, datetime, timedelta
from unittest.mock import patch

import pytest
from django.core import signing

EVERY_PAGE = [
    "/",
    "/readings/",
    "/instruments/",
    "/reports/",
    "/readings/chart/",
    "/reports/request/",
    "/choices/",
    "/under-way/1/",
]


@pytest.mark.parametrize("address", EVERY_PAGE)
def test_a_visitor_without_a_session_is_told_to_open_it_again(visitor, address):
    answer = visitor.get(address)
    assert answer.status_code == 403
    assert "Open it again from the program" in answer.content.decode()
    assert "/instruments/" not in answer.content.decode(), "the frame names no page to a visitor"


def test_a_visitor_may_not_post(visitor):
    assert visitor.post("/readings/bring/").status_code == 403


def test_ines_comes_in_by_the_link(ines):
    assert ines.get("/").status_code == 200


def test_the_link_leaves_the_address_bar(visitor):
    from browline.web.access import make_token

    answer = visitor.get(f"/in/{make_token()}/")
    assert answer["Location"] == "/"


def test_the_link_works_once(book):
    from django.test import Client

    from browline.web.access import make_token

    token = make_token()
    first, second = Client(SERVER_NAME="127.0.0.1"), Client(SERVER_NAME="127.0.0.1")
    assert first.get(f"/in/{token}/").status_code == 302
    assert second.get(f"/in/{token}/").status_code == 403
    assert second.get("/").status_code == 403


def test_using_one_link_ends_every_older_one(book):
    from django.test import Client

    from browline.web.access import make_token

    older, newer = make_token(), make_token()
    assert Client(SERVER_NAME="127.0.0.1").get(f"/in/{newer}/").status_code == 302
    assert Client(SERVER_NAME="127.0.0.1").get(f"/in/{older}/").status_code == 403


def test_of_two_rivals_for_one_link_one_comes_in(book):
    from browline.web import access

    user = access.educator()
    moment = access._moment(user.last_login)
    assert access._use_up(user, moment)
    # The rival read the same row before the first one changed it.
    assert not access._use_up(user, moment)


def test_the_link_lives_ten_minutes(visitor):
    from browline.web.access import make_token

    token = make_token()
    later = datetime.now(UTC) + timedelta(minutes=11)
    with patch.object(signing.time, "time", return_value=later.timestamp()):
        assert visitor.get(f"/in/{token}/").status_code == 403


def test_a_forged_link_is_refused(visitor):
    assert (
        visitor.get(
            "/in/" + signing.dumps("never", key="another book's", salt="browline.open") + "/"
        ).status_code
        == 403
    )


def test_a_right_is_checked_by_the_fetch(ines):
    from django.contrib.auth import get_user_model

    get_user_model().objects.update(is_active=False)
    assert ines.get("/").status_code == 403


def test_another_host_name_is_refused(ines):
    assert ines.get("/", headers={"host": "fenwick.example"}).status_code == 400


def test_a_form_from_elsewhere_is_refused(book):
    from django.test import Client

    from browline.web.access import make_token

    strict = Client(SERVER_NAME="127.0.0.1", enforce_csrf_checks=True)
    strict.get(f"/in/{make_token()}/")
    assert strict.post("/review/", {}).status_code == 403


def test_the_policy_lets_nothing_in_but_our_own(ines):
    policy = ines.get("/")["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy and "http" not in policy


def test_pages_are_not_kept_by_the_browser(ines):
    assert ines.get("/")["Cache-Control"] == "no-store"
