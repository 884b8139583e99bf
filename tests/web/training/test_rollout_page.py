"""Ines asks what her roll-out could show, changes the numbers, and reads the answer on a phone."""

import pytest
from browsing import Tab, browser, served


def test_the_page_answers_at_once_and_says_what_it_assumed(ines):
    page = ines.get("/teaching/roll-out/").content.decode()
    assert "Ward by ward detects most" in page and "Draw lots" in page and "cannot be told" in page
    assert "An assumption; change it to yours." in page and "From the last review." not in page


def test_defaults_come_from_the_last_review(ines):
    from browline.store.models import Review

    Review.objects.create(result={"readings": {"wards": 14}, "spread": {"patient_sd_c": 0.31}}, version="0")
    page = ines.get("/teaching/roll-out/").content.decode()
    assert page.count("From the last review.") == 2 and 'value="14"' in page and 'value="0.31"' in page


def test_the_answer_follows_the_numbers(ines):
    few = ines.get("/teaching/roll-out/", {"wards": 3}).content.decode()
    assert "could start in so few orders" in few and "detects most" not in few


def test_a_number_out_of_range_is_told_beside_its_field(ines):
    answer = ines.get("/teaching/roll-out/", {"wards": 1, "months": 12})
    assert answer.status_code == 422 and "detects most" not in answer.content.decode()
    late = ines.get("/teaching/roll-out/", {"before": 11, "months": 12})
    assert late.status_code == 422 and "leave no time to teach" in late.content.decode()


def test_the_ways_to_it_stand_under_teaching_and_on_the_session_plan(ines):
    for address in ("/teaching/", "/teaching/plan/"):
        assert "/teaching/roll-out/" in ines.get(address).content.decode()


@pytest.mark.browser
def test_the_page_in_a_browser_wide_and_narrow(book, monkeypatch):
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with browser() as opened, served() as port:
        for width in (1280, 360):
            tab = Tab(opened, port, viewport={"width": width, "height": 900})
            tab.come_in()
            tab.go("/teaching/roll-out/")
            tab.page.get_by_label("Wards", exact=True).fill("14")
            tab.page.get_by_role("button", name="Show what would be seen").click()
            tab.page.wait_for_url("**wards=14**")
            assert "would be seen 8 times in 10" in tab.page.inner_text("main")
            assert tab.overflow() <= 0 and tab.violations() == [] and tab.complaints == []
            tab.close()
