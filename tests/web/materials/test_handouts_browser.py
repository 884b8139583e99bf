"""Hand-outs, chooser and questions in a real browser: axe, a telephone's width, the policy, the keyboard."""

import pytest
from browsing import Tab, browser, served

pytestmark = pytest.mark.browser
PAGES = ["/hand-outs/", "/hand-outs/site-and-cover/", "/questions/"]


@pytest.fixture(scope="module")
def opened():
    with pytest.MonkeyPatch.context() as patch, browser() as one:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        yield one


@pytest.fixture(params=[1280, 360])
def tab(opened, book, request):
    with served() as port:
        one = Tab(opened, port, viewport={"width": request.param, "height": 760})
        one.come_in()
        yield one
        one.close()


def test_every_page_is_sound_and_fits(tab):
    for address in PAGES:
        assert tab.go(address).status == 200
        assert tab.violations() == [] and tab.overflow() <= 0, address
    assert tab.complaints == []
    assert tab.hosts == {tab.origin.removeprefix("http://")}


def test_a_nurse_chooses_a_site_and_the_address_tells_nothing(tab):
    tab.go("/hand-outs/site-and-cover/")
    page = tab.page
    page.get_by_label("5 years or older").check()
    page.get_by_label("Damp forehead or sweating").check()
    page.get_by_label("Isolation for a spore-forming organism").check()
    page.get_by_role("button", name="Show site and cover").click()
    page.get_by_text("end with a touch behind the earlobe").wait_for()
    assert page.url == f"{tab.origin}/hand-outs/site-and-cover/"
    assert page.get_by_text("a dedicated instrument", exact=False).first.is_visible()
    assert tab.violations() == [] and tab.overflow() <= 0 and tab.complaints == []
    page.get_by_role("link", name="Next patient").click()
    assert page.locator("input[type=checkbox]:checked").count() == 0


def test_typing_a_word_finds_its_question(tab):
    tab.go("/questions/")
    tab.page.get_by_label("Look for").fill("volt")
    tab.page.get_by_text("1 of 21 hold").wait_for()
    assert tab.page.locator("article.question").count() == 1 and tab.complaints == []
