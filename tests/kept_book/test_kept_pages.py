"""Every page that the educator can open answers for the kept book; a new address has to be named here."""

import re

import pytest
from addresses import ABOUT, OTHERWISE, kind_of_link, links, pages
from django.urls import reverse

PAGES = pages()
# Links that work once, and files that are held while they are looked at: `come_in` and the last test open them.
APART = {"come-in", "come-in-with-pass", "look", "take", "forget", "look-at-roster"}
NAMES = sorted(set(PAGES) - APART)


@pytest.fixture(scope="module")
def open_page(educator):
    """Open an address: how it answered, and the links on it; a page that is only posted to has answered well."""

    def opened(address):
        answer = educator.get(address)
        only_posted = answer.status_code == 405 and "GET" not in answer["Allow"]
        content = b"".join(answer) if answer.streaming else answer.content
        page = answer["Content-Type"].startswith("text/html")
        return 200 if only_posted else answer.status_code, links(content.decode()) if page else []

    return opened


@pytest.fixture(scope="module")
def walked(open_page):
    """By the name of a page: each of its addresses and how it answered; and every link on all of them."""
    statuses, found = {}, []
    for name in NAMES:
        about = ABOUT[name]() if PAGES[name] else [{}]
        answers = {address: open_page(address) for address in (reverse(name, kwargs=one) for one in about)}
        statuses[name] = {address: status for address, (status, _) in answers.items()}
        found += [link for _, here in answers.values() for link in here]
    return statuses, found


def test_every_address_has_a_name_and_those_about_one_thing_say_which():
    assert "" not in PAGES, "an address has no name"
    needed = {name for name, needs in PAGES.items() if needs} - APART
    assert needed - set(ABOUT) == set(), "add these to ABOUT in addresses.py, with rows of the kept book"
    assert set(ABOUT) - set(PAGES) == set(), "these addresses are gone, and a link that was kept is broken"


@pytest.mark.parametrize("name", NAMES)
def test_it_answers(walked, name):
    statuses, wanted = walked[0][name], OTHERWISE.get(name, (200, ""))[0]
    assert statuses, f"the kept book has nothing for {name}"
    assert {address: status for address, status in statuses.items() if status != wanted} == {}


def test_a_link_of_every_kind_on_these_pages_answers(walked, open_page):
    kinds = {kind_of_link(link): link for link in reversed(walked[1])}
    seen = {(name,) for name in NAMES} | {None}
    answered = {link: open_page(link)[0] for kind, link in kinds.items() if kind not in seen}
    assert len(answered) >= 5
    assert {link: status for link, status in answered.items() if status != 200} == {}


@pytest.mark.parametrize(
    ("address", "name"), [("/readings/bring/", "april.csv"), ("/teaching/roster/bring/", "roster.csv")]
)
def test_a_file_that_was_taken_then_can_be_looked_at_again(kept, educator, open_page, address, name):
    with (kept.folder / "files" / name).open("rb") as file:
        answer = educator.post(address, {"files": file, "file": file})
    assert answer.status_code == 302, re.sub(r"<[^>]*>", " ", answer.content.decode())
    assert open_page(answer["Location"])[0] == 200
