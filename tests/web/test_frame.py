"""The frame says where the reader is, also on pages whose address stands elsewhere."""

import pytest

from browline.roles import ASSESSOR, EDUCATOR
from browline.web.frame import PAGES, _pages


@pytest.mark.parametrize(
    ("role", "path", "here"),
    [
        (EDUCATOR, "/", "Today"),
        (EDUCATOR, "/findings/4/", "Today"),
        (EDUCATOR, "/teaching/sessions/3/", "Teaching"),
        (EDUCATOR, "/hand-outs/site-and-cover/", "Teaching"),
        (EDUCATOR, "/documents/checklist/change/", "Teaching"),
        (EDUCATOR, "/wards/Larch/", "Readings"),
        (EDUCATOR, "/round/", "Instruments"),
        (EDUCATOR, "/choices/", None),
        (ASSESSOR, "/observe/", "Observe"),
        (ASSESSOR, "/hand-outs/", "Hand-outs"),
        (ASSESSOR, "/teaching/who-can-do-it/due/", "Who can do it"),
    ],
)
def test_one_page_at_most_is_where_the_reader_is(role, path, here):
    shown = [page["title"] for page in _pages(path, PAGES[role]) if page["here"]]
    assert shown == ([here] if here else [])


def test_the_page_itself_is_told_from_what_lies_below_it():
    exactly = [page["exactly"] for page in _pages("/teaching/", PAGES[EDUCATOR]) if page["here"]]
    below = [page["exactly"] for page in _pages("/teaching/plan/", PAGES[EDUCATOR]) if page["here"]]
    assert (exactly, below) == ([True], [False])


def test_a_book_without_a_zone_says_so_on_teaching_until_one_is_chosen(ines):
    from browline.services.book.change_preference import set_choice

    assert "This book has no time zone" in ines.get("/teaching/staff/").content.decode()
    assert "This book has no time zone" not in ines.get("/instruments/").content.decode()
    set_choice("zone", "Europe/London", "Ines")
    assert "This book has no time zone" not in ines.get("/teaching/staff/").content.decode()
