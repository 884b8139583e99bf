"""Which page is open to whom: every address of the pages by every role."""

from datetime import timedelta

import pytest
from django.urls import URLPattern, get_resolver
from django.utils import timezone

from browline.roles import ROLES

# The educator sees every page; these are the views that say they are open to others as well.
OPEN = {
    "assessor": {
        "observe",
        "who-can-do-it",
        "round",
        "handouts",
        "class-questions",
        "my-record",
        "document",
        "bedside",
    },
    "viewer": {"who-can-do-it", "bedside", "handouts", "class-questions", "document"},
    "person": {"my-record", "bedside", "handouts", "class-questions", "document"},
}
# Never open to a pass, whatever else is added.
CLOSED = {
    "today", "readings", "instruments", "reports", "choices", "passes", "sessions", "roster", "session-plan",
    "questioned-learning", "questioned-learning-sheet",
    "agreement", "change-document", "instrument", "finding", "bring", "wards", "bedside-switch",
}  # fmt: skip


def _patterns(resolver=None):
    for part in (resolver or get_resolver()).url_patterns:
        if isinstance(part, URLPattern):
            yield part
        else:
            yield from _patterns(part)


def _roles(part):
    return getattr(part.callback, "roles", ("educator",))


@pytest.fixture
def let(book):
    """Let somebody in with a pass of this role."""
    from django.test import Client

    from browline.services.book import access_links
    from browline.store.models import Person

    def come(role):
        person = Person.objects.get_or_create(identifier="00417", defaults={"pseudonym": 7})[0]
        token = access_links.issue(
            role, person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
        )
        client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        assert client.get(f"/in/pass/{token}/").status_code == 302
        return client

    return come


def test_a_page_is_the_educators_unless_its_view_says_otherwise():
    for part in _patterns():
        if part.name in CLOSED:
            assert _roles(part) == ("educator",), part.name


@pytest.mark.parametrize("role", OPEN)
def test_what_a_pass_opens_is_open(let, role):
    client = let(role)
    for name in OPEN[role]:
        address = {"document": "/documents/checklist/"}.get(name) or _address(name)
        assert client.get(address).status_code == 200, name


@pytest.mark.parametrize("role", OPEN)
def test_what_it_does_not_open_is_closed(let, role):
    client = let(role)
    for part in _patterns():
        if role not in _roles(part) and not part.pattern.converters and _asks_for_a_right(part):
            assert client.get(_address(part.name)).status_code == 403, part.name


def _asks_for_a_right(part):
    return getattr(part.callback, "login_required", True)


def _address(name):
    from django.urls import reverse

    return reverse(name)


def test_a_pass_that_was_taken_back_opens_nothing_from_the_next_page_on(let):
    from browline.services.book import access_links
    from browline.store.models import Pass

    client = let("viewer")
    assert client.get("/hand-outs/").status_code == 200
    access_links.revoke(Pass.objects.get().pk, "Ines")
    answer = client.get("/hand-outs/")
    assert answer.status_code == 403 and "This pass has ended" in answer.content.decode()


def test_a_pass_does_not_work_twice_as_two_roles(let):
    client = let("person")
    assert client.get("/observe/").status_code == 403


def test_the_educators_own_browser_does_not_take_a_pass(ines):
    from browline.services.book import access_links

    token = access_links.issue("viewer", until=timezone.now() + timedelta(hours=1), actor="Ines")
    assert ines.get(f"/in/pass/{token}/").status_code == 409
    assert ines.get("/choices/").status_code == 200


def test_the_educators_pages_answer_this_computer_only(ines):
    assert ines.get("/", REMOTE_ADDR="192.168.4.20").status_code == 403
    assert ines.get("/", REMOTE_ADDR="::1").status_code == 200


def test_a_pass_that_has_ended_says_so(visitor):
    answer = visitor.get("/in/pass/not-a-pass/")
    assert answer.status_code == 403 and "This pass has ended" in answer.content.decode()


def test_the_frame_shows_each_role_its_own_pages(let):
    shown = let("person").get("/hand-outs/").content.decode()
    assert "My record" in shown and "Choices of this book" not in shown and "/instruments/" not in shown


def test_ines_makes_a_pass_and_sees_its_link_once(ines):
    from browline.store.models import Person

    Person.objects.create(identifier="00417", pseudonym=7)
    answer = ines.post("/passes/", {"role": "assessor", "person": "00417", "hours": "12", "label": "Omar"})
    assert "/in/pass/" in answer.content.decode()
    assert "/in/pass/" not in ines.get("/passes/").content.decode()


@pytest.mark.parametrize("whose", ["", "nobody"])
def test_a_pass_for_an_assessor_says_whose_it_is(ines, whose):
    answer = ines.post("/passes/", {"role": "assessor", "person": whose, "hours": "12"})
    assert answer.status_code == 422


def test_ines_takes_a_pass_back(ines, let):
    from browline.store.models import Pass

    viewer = let("viewer")
    ines.post(f"/passes/{Pass.objects.get().pk}/take-back/")
    assert viewer.get("/hand-outs/").status_code == 403


def test_every_role_is_spoken_of():
    assert set(OPEN) | {"educator"} == set(ROLES)


def test_while_the_pages_are_open_to_phones_a_pass_is_for_phones(ines):
    from browline.web import phones

    told = {"role": "viewer", "hours": "12"}
    assert "http://127.0.0.1:8765/in/pass/" in ines.post("/passes/", told).content.decode()
    shown = ines.post("/passes/", told, **{phones.TOLD: "http://192.168.4.20:8737"}).content.decode()
    assert "http://192.168.4.20:8737/in/pass/" in shown and "<svg" in shown
