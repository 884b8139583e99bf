"""Sessions, signing in and the roster in a real browser at phone size: axe, width, offline and back."""

import time
from datetime import timedelta

import pytest
from browsing import Tab, browser

from roster_cases import as_csv, grid

pytestmark = pytest.mark.browser
PHONE = {"viewport": {"width": 360, "height": 740}}
LAN = "127.0.0.2"


@pytest.fixture(scope="module")
def opened():
    # The driver runs an event loop in this thread, where Django would refuse to read the book.
    with pytest.MonkeyPatch.context() as patch, browser() as one:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        yield one


@pytest.fixture
def doors(book):
    """The port for this computer and the address for phones."""
    from browsing import served

    from browline.web import server

    with served() as port, server.open_to_phones(LAN) as address:
        yield port, address


@pytest.fixture
def evening(book, tmp_path):
    """The roster of Maple, three people of the list, and a session that begins now."""
    from django.utils import timezone

    from browline.services.imports.run import import_file
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.store.models import Person, Shift

    for identifier, name in (("00417", "Hana Alderley"), ("00938", "Bram Copeden"), ("01200", "Una Fenwick")):
        put_on_list(unlisted(identifier).pk, name=name, role="nurse", ward="Maple", actor="educator")
    path = tmp_path / "roster.csv"
    path.write_text(as_csv(grid()))
    import_file(book, path, kind="roster", today=timezone.localdate())
    now = timezone.now()
    for person in Person.objects.filter(identifier__in=("00417", "00938")):
        Shift.objects.create(
            person=person, date=now.date(), ward="Maple", code="N", kind="night",
            start=now - timedelta(hours=1), end=now + timedelta(hours=9),
        )  # fmt: skip
    return plan_session(now.replace(second=0, microsecond=0), ward="Maple", educator="Ines", actor="educator")


def phone(opened, address):
    tab = Tab(opened, 0, **PHONE)
    tab.origin = address
    return tab


def came():
    from browline.store.models import Attendance

    return sorted(Attendance.objects.values_list("person__identifier", flat=True))


def said(hand):
    """What the outbox says on this phone."""
    return hand.page.inner_text("[data-outbox-status]")


def until(holds, seconds=8):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if holds():
            return True
        time.sleep(0.1)
    return False


@pytest.mark.parametrize("options", [PHONE, {}], ids=["phone", "desk"])
def test_every_page_is_accessible_fits_and_complains_of_nothing(opened, doors, evening, options):
    port, _ = doors
    tab = Tab(opened, port, **options)
    tab.come_in()
    pages = ["/teaching/sessions/", f"/teaching/sessions/{evening.pk}/", "/teaching/roster/"]
    pages += ["/teaching/roster/unmatched/", "/teaching/roster/codes/N/", "/here/", f"/here/{evening.code}/"]
    for page in pages:
        assert tab.go(page).status == 200, page
        assert tab.violations() == [], page
        assert tab.overflow() <= 0, page
    assert tab.complaints == []
    tab.close()


def test_a_phone_is_passed_around_and_the_page_of_the_session_shows_who_came(opened, doors, evening):
    port, address = doors
    desk, hand = Tab(opened, port), phone(opened, address)
    desk.come_in()
    desk.go(f"/teaching/sessions/{evening.pk}/")
    assert "On duty by the roster, not here yet: 2" in desk.page.inner_text("#who")
    hand.go("/here/")
    hand.page.fill("#code", evening.code.lower())
    hand.page.click("button[type=submit]")
    for identifier in ("00417", "938", "X-77"):
        hand.page.fill("#identifier", identifier)
        hand.page.click("button[type=submit]")
        assert until(lambda end=identifier[-2:]: f"ending in {end}" in said(hand))
        assert hand.page.input_value("#identifier") == ""
    assert until(lambda: came() == ["00417", "00938", "X-77"])
    assert "Hana" not in hand.page.inner_text("body")
    assert until(lambda: "Here: 3" in desk.page.inner_text("#who"))
    assert hand.complaints == [] and desk.complaints == []
    assert hand.violations() == [] and hand.overflow() <= 0
    hand.close()
    desk.close()


def test_signed_in_without_a_network_and_sent_when_it_is_back(opened, doors, evening):
    _, address = doors
    hand = phone(opened, address)
    hand.go(f"/here/{evening.code}/")
    hand.context.set_offline(True)
    for identifier in ("00417", "00938"):
        hand.page.fill("#identifier", identifier)
        hand.page.click("button[type=submit]")
    hand.page.wait_for_function(
        "document.querySelector('[data-outbox-status]').innerText.includes('2 records wait')"
    )
    assert came() == []
    hand.context.set_offline(False)
    assert until(lambda: came() == ["00417", "00938"])
    hand.page.wait_for_function(
        "document.querySelector('[data-outbox-status]').dataset.outboxWaiting === '0'"
    )
    hand.close()


def test_signing_in_works_without_script(opened, doors, evening):
    _, address = doors
    tab = opened.new_context(java_script_enabled=False, **PHONE).new_page()
    tab.goto(f"{address}/here/{evening.code}/")
    tab.fill("#identifier", "00417")
    tab.click("button[type=submit]")
    assert "You are signed in to the session on Maple" in tab.inner_text("main")
    assert came() == ["00417"]
    tab.context.close()


def test_a_roster_is_brought_in_and_its_code_settled_on_a_narrow_window(opened, doors, evening, tmp_path):
    from browline.store.models import Shift

    port, _ = doors
    tab = Tab(opened, port, **PHONE)
    tab.come_in()
    path = tmp_path / "next.csv"
    rows = grid()
    rows[6][4] = "QZ"
    path.write_text(as_csv(rows))
    tab.go("/teaching/roster/")
    tab.page.set_input_files("#files", path)
    tab.page.get_by_role("button", name="Look at it").click()
    tab.page.wait_for_selector("text=What this roster says")
    assert tab.violations() == [] and tab.overflow() <= 0
    tab.page.get_by_label("QZ stands for").select_option("late")
    tab.page.get_by_label("QZ from").fill("14:00")
    tab.page.get_by_label("QZ to").fill("22:00")
    tab.page.get_by_role("button", name="Take it").click()
    tab.page.wait_for_selector("text=Roster, taken in")
    assert Shift.objects.get(code="QZ").kind == "late"
    tab.close()


@pytest.mark.parametrize("options", [PHONE, {}], ids=["phone", "desk"])
def test_pages_with_much_to_say_are_accessible_and_fit(opened, doors, evening, tmp_path, options):
    """Entries of one name, lines of one name, a sheet with lines not taken, names to strike, a session held."""
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.services.training.sessions.signing_in import sign_in
    from browline.store.models import Person

    put_on_list(unlisted("01300").pk, name="Hana Alderley", ward="Oak", actor="educator")
    for identifier, how in (
        ("Hana Alderley", "phone"),
        ("A-99", "phone"),
        ("938", "phone"),
        ("938", "paper"),
    ):
        sign_in(evening, identifier, how, actor="educator")
    Person.objects.filter(identifier="A-99").update(name="Hana Alderley")
    path = tmp_path / "lines.csv"
    path.write_text(
        'Name,Ward,02/03/2026,03/03/2026,04/03/2026\n"Dunmore, D",Oak,N,,\n"Dunmore, D",Elm,E,,\n'
    )
    tab = Tab(opened, doors[0], **options)
    tab.come_in()

    def looks_well(name):
        tab.page.screenshot(path=tmp_path / f"{name}.png", full_page=True)
        assert tab.violations() == [], name
        assert tab.overflow() <= 0, name

    tab.go("/teaching/roster/unmatched/")
    tab.page.locator("details summary").first.click()
    looks_well("unmatched")
    tab.go(f"/teaching/sessions/{evening.pk}/")
    tab.page.get_by_label("Others on the sheet").fill("Hana Alderley\n<b>\n1200")
    tab.page.get_by_role("button", name="Key it in").click()
    tab.page.wait_for_selector("text=Not taken")
    assert tab.page.get_by_label("Others on the sheet").input_value().split("\n") == ["Hana Alderley", "<b>"]
    tab.page.locator("summary", has_text="Strike a name").click()
    looks_well("sheet")
    tab.go("/teaching/roster/")
    tab.page.set_input_files("#files", path)
    tab.page.get_by_role("button", name="Look at it").click()
    tab.page.wait_for_selector("text=Lines of one name")
    looks_well("lines")
    tab.page.get_by_label("each line is a person of its own").check()
    tab.page.get_by_role("button", name="Take it").click()
    tab.page.wait_for_selector("text=Roster, taken in")
    looks_well("receipt")
    tab.go(f"/teaching/sessions/{evening.pk}/")
    tab.page.get_by_role("button", name="Mark as held").click()
    tab.page.wait_for_selector("text=It was not held")
    looks_well("held")
    assert [c for c in tab.complaints if "422" not in c] == []
    tab.close()
