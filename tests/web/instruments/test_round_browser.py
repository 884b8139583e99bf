"""A round walked on a telephone in a real browser: 360 px, gloves, no network for a while, then back."""

from datetime import timedelta

import fenwick_vale
import pytest
from browsing import Tab, browser, served
from django.utils import timezone

from browline.services.instruments import register as registers
from browline.services.instruments.rounds import Line, Round, record_round

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def opened():
    # The driver runs an event loop in this thread, where Django would refuse to read the book.
    with pytest.MonkeyPatch.context() as patch, browser() as one:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        yield one


@pytest.fixture
def phone(book, opened):
    """A telephone 360 px wide with the rounds of Larch and Maple; FS-07 was seen there dirty and set to °F."""
    fenwick_vale.a_register()
    for name, ward in (("FS-09", "Larch"), ("FS-11", "Maple")):
        registers.add_instrument(name, ward=ward, unit="C", mode="core", actor="educator")
    now = timezone.now()
    looked = Line("FS-07", "present", lens="dirty", unit="F", battery="low")
    record_round(Round("Larch", now - timedelta(days=1), (looked,)), actor="educator", now=now)
    with served() as port:
        tab = Tab(opened, port, viewport={"width": 360, "height": 740}, has_touch=True)
        tab.page.set_default_timeout(5000)
        tab.come_in()
        yield tab
        tab.close()


def open_ward(phone, ward):
    phone.go("/round/")
    phone.page.locator("summary", has_text=ward).tap()


def tap(phone, instrument, *words):
    """Tap the buttons of one instrument by what stands on them."""
    look = phone.page.locator(".ward[open] .look", has_text=instrument)
    for word in words:
        look.locator(".tap", has_text=word).first.tap()


def keep(phone):
    phone.page.locator(".ward[open] .send button").tap()


def sightings():
    from browline.store.models import Sighting

    return {
        s.instrument.name: (s.state, s.lens, s.ward, s.how)
        for s in Sighting.objects.filter(time__gt=recently())
    }


def recently():
    return timezone.now() - timedelta(hours=1)


def in_view(phone, selector):
    """Whether it can be seen without scrolling."""
    box = phone.page.locator(selector).bounding_box()
    return box["y"] >= 0 and box["y"] + box["height"] <= 740


def settled(phone, waiting):
    phone.page.wait_for_selector(f'[data-outbox-waiting="{waiting}"]', state="attached")


def test_every_page_of_the_kit_is_sound_at_both_widths(phone):
    pages = ["/round/", "/round/?ward=Larch", "/instruments/", "/instruments/1/", "/instruments/add/"]
    for address in (*pages, "/instruments/cleanings/"):
        for width in (360, 1280):
            phone.page.set_viewport_size({"width": width, "height": 740})
            assert phone.go(address).status == 200
            assert phone.overflow() <= 0, (address, width)
            assert phone.violations() == [], (address, width)
    assert phone.complaints == []


def test_a_round_is_walked_with_a_tap_for_each_answer(phone):
    open_ward(phone, "Larch")
    tap(phone, "FS-07", "Here", "Cleaned now")
    tap(phone, "FS-09", "Not found")
    assert phone.violations() == [] and phone.overflow() <= 0
    assert phone.page.locator(".ward[open] .send button").inner_text() == "Keep 2 of 2"
    keep(phone)
    phone.page.locator("[data-outbox-status]", has_text="2 instruments kept.").wait_for()
    assert sightings() == {
        "FS-07": ("present", "cleaned", "Larch", "phone"),
        "FS-09": ("not-located", "", "Larch", "phone"),
    }
    assert phone.page.locator(".ward[open] .send button").inner_text() == "Keep this round"
    assert in_view(phone, "[data-outbox-status]") and in_view(phone, ".ward[open] .send button")
    assert phone.complaints == []


def test_what_only_a_found_one_shows_appears_when_it_is_found(phone):
    open_ward(phone, "Larch")
    lens = phone.page.locator(".ward[open] .listed").first.get_by_role("radiogroup", name="Lens")
    assert not lens.is_visible()
    tap(phone, "FS-07", "Here")
    assert lens.is_visible()
    tap(phone, "FS-07", "Not found")
    assert not lens.is_visible()


def test_a_slip_is_taken_back_by_a_second_tap(phone):
    open_ward(phone, "Larch")
    tap(phone, "FS-07", "Here", "Here")
    assert phone.page.locator(".ward[open] .tap input:checked").count() == 0
    tap(phone, "FS-07", "Here", "In use")
    assert phone.page.locator(".ward[open] .tap input:checked").get_attribute("value") == "in-use"


def test_a_thing_seen_and_then_hidden_is_not_sent(phone):
    open_ward(phone, "Larch")
    tap(phone, "FS-07", "Here", "Dirty", "Not found")
    keep(phone)
    phone.page.locator("[data-outbox-status]", has_text="1 instrument kept.").wait_for()
    assert sightings() == {"FS-07": ("not-located", "", "Larch", "phone")}


def test_every_button_is_large_enough_for_a_glove(phone):
    """At least 44 px each way, WCAG 2.2 success criterion 2.5.5 (from memory)."""
    open_ward(phone, "Larch")
    tap(phone, "FS-07", "Here")
    boxes = [
        one.bounding_box() for one in phone.page.locator(".ward[open] .look").first.locator(".tap").all()
    ]
    assert len(boxes) == 12 and min(min(b["width"], b["height"]) for b in boxes) >= 44


def test_without_a_network_rounds_wait_and_go_by_themselves(phone):
    open_ward(phone, "Larch")
    phone.context.set_offline(True)
    tap(phone, "FS-07", "Here", "Clean")
    keep(phone)
    settled(phone, 1)
    phone.page.locator(".ward[open] > summary").tap()
    phone.page.locator("summary", has_text="Maple").tap()
    tap(phone, "FS-11", "In use")
    keep(phone)
    settled(phone, 2)
    assert "2 records wait" in phone.page.locator("[data-outbox-status]").inner_text()
    assert sightings() == {}
    phone.context.set_offline(False)
    settled(phone, 0)
    assert sightings() == {
        "FS-07": ("present", "clean", "Larch", "phone"),
        "FS-11": ("in-use", "", "Maple", "phone"),
    }


def test_a_round_put_away_goes_when_the_page_is_opened_again(phone):
    open_ward(phone, "Larch")
    phone.context.set_offline(True)
    tap(phone, "FS-07", "Here")
    keep(phone)
    settled(phone, 1)
    phone.page.goto("about:blank")
    phone.context.set_offline(False)
    phone.go("/round/")
    settled(phone, 0)
    assert sightings() == {"FS-07": ("present", "", "Larch", "phone")}


def test_the_page_works_with_the_keyboard(phone):
    open_ward(phone, "Larch")
    phone.page.locator("#state-present-1-1").focus()
    phone.page.keyboard.press("Space")
    phone.page.keyboard.press("ArrowRight")
    assert phone.page.locator("#state-in-use-1-1").is_checked()


def test_without_scripts_the_form_is_posted_whole(opened, phone):
    port = int(phone.origin.rsplit(":", 1)[1])
    plain = Tab(opened, port, viewport={"width": 360, "height": 740}, java_script_enabled=False)
    plain.come_in()
    try:
        plain.go("/round/?ward=Larch")
        plain.page.locator(".tap", has_text="Here").first.click()
        plain.page.locator(".send button").click()
        assert "1 instrument kept." in plain.page.locator(".messages").inner_text()
    finally:
        plain.close()
    assert sightings() == {"FS-07": ("present", "", "Larch", "phone")}
