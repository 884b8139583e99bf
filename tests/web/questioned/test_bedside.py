"""The bedside: the pathway on a phone, and the desk's answer that stays off until somebody answers for it."""

import re
from datetime import date, timedelta
from html import unescape

import pytest
from browsing import Tab, browser, served
from django.http import HttpResponse
from django.test import override_settings
from django.urls import path
from django.utils import timezone

from approving import new_version
from browline.materials.pathway import CHART
from browline.services.materials import documents
from browline.services.questioned import at_bedside
from browline.services.questioned.pathway import KIND
from browline.site_choice import ESCALATE
from browline.web import urls
from browline.web.questioned import urls as area

ADDRESS, SWITCH = "/bedside/", "/bedside/desk-answer/"
# The desk has a folder and tests of its own: here the pages without it, and with one of this test.
OWN = {"browline.web.questioned.urls", "browline.web.questioned.desk.urls"}
PAGES = tuple(
    page for page in (*urls.urlpatterns, *area.urlpatterns) if page.urlconf_module.__name__ not in OWN
)
DESK = path("desk-of-this-test/", lambda request: HttpResponse("desk"), name="questioned")


@pytest.fixture
def desk():
    with override_settings(ROOT_URLCONF=(DESK, *PAGES)):
        yield


@pytest.fixture
def no_desk():
    with override_settings(ROOT_URLCONF=PAGES):
        yield


@pytest.fixture
def lifted(monkeypatch):
    """The switch as it is once it is held off no longer."""
    monkeypatch.setattr(at_bedside, "HELD_OFF", "")


def text(answer):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def approve(*, days=30, read=None):
    latest = documents.latest(KIND)
    today = timezone.localdate()
    approval = documents.Approval("Ines Quill", "house policy 12", today, today + timedelta(days=days))
    return new_version(KIND, latest.body, approval, read=latest.version, actor="educator")


def asked(**changes):
    until = timezone.localdate() + timedelta(days=20)
    return {"approver": "Dr Mara Venn", "reason": "pilot on Larch", "until": f"{until:%Y-%m-%d}", **changes}


def let_in(role):
    from django.test import Client

    from browline.services.book import access_links
    from browline.store.models import Person

    omar = Person.objects.get_or_create(identifier="00417", defaults={"pseudonym": 7})[0]
    token = access_links.issue(role, person=omar, until=timezone.now() + timedelta(hours=1), actor="Ines")
    phone = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    phone.get(f"/in/pass/{token}/")
    return phone


@pytest.mark.parametrize("role", ["assessor", "viewer", "person"])
def test_every_pass_is_shown_the_way_to_the_pathway_and_may_not_touch_the_switch(book, role):
    phone = let_in(role)
    answer = phone.get(ADDRESS)
    assert answer.status_code == 200 and f'href="{ADDRESS}" aria-current="page"' in answer.content.decode()
    assert phone.get(SWITCH).status_code == 403 and phone.post(f"{SWITCH}off/").status_code == 403
    assert SWITCH not in answer.content.decode()


def test_escalation_stands_before_anything_else_and_charting_on_the_page(ines):
    page = (
        text(ines.get(ADDRESS))
        .partition("Questioned reading · browline")[2]
        .partition("Questioned reading")[2]
    )
    order = [
        ESCALATE,
        "looks ill, or somebody is worried",
        "early-warning",
        "immune suppression",
        "Under 3 months",
    ]
    order += ["Recent surgery", "Act on the safer of the readings, high or low", "never delays care"]
    order += [
        "Look at the patient",
        "Look for what misleads",
        "Repeat at the same site",
        "Second instrument at once",
    ]
    order += [
        "another route, the first this patient can have",
        "about 30 s",
        "A core probe already in place",
        CHART,
    ]
    places = [page.index(words) for words in order]
    assert places == sorted(places)


def test_a_draft_says_that_it_is_not_approved_and_who_decides_instead(ines):
    page = text(ines.get(ADDRESS))
    assert "DRAFT. Not approved: local policy and the person in charge decide." in page
    assert page.index(ESCALATE) < page.index("Not approved")


def test_in_force_it_says_since_and_until_when_and_expired_that_it_is_not_approved(ines, monkeypatch):
    made = approve(days=2)
    page = text(ines.get(ADDRESS))
    assert "Not approved" not in page
    assert f"Version 2, in force until {made.expires:%d %b %Y}, owner Ines Quill, approved" in page
    later = timezone.now() + timedelta(days=5)
    monkeypatch.setattr(timezone, "now", lambda: later)
    assert f"EXPIRED {made.expires:%d %b %Y}. Not approved" in text(let_in("person").get(ADDRESS))


def test_no_chance_is_shown_and_no_number_can_be_typed(ines):
    answer = ines.get(ADDRESS)
    html = answer.content.decode()
    assert "%" not in text(answer) and "probab" not in html.lower() and "chance" not in text(answer).lower()
    main = html.split("<main")[1].split("</main>")[0]
    assert set(re.findall(r"<(form|select|textarea|button)\b", main)) == set()
    assert set(re.findall(r'<input type="(\w+)"', main)) == {"checkbox"} and " name=" not in main


def test_to_look_leaves_nothing_behind_and_nothing_can_be_sent(ines):
    from browline.store.models import ControlledDocument, Event

    before = Event.objects.count()
    assert ines.get(ADDRESS).status_code == 200 and ines.post(ADDRESS, {"temp": "38.1"}).status_code == 405
    assert Event.objects.count() == before and not ControlledDocument.objects.filter(kind=KIND).exists()


def test_it_leads_to_the_site_chooser_and_to_paper(ines):
    html = ines.get(ADDRESS).content.decode()
    assert 'href="/hand-outs/site-and-cover/"' in html and 'href="/hand-outs/pathway.pdf"' in html
    assert ines.get("/hand-outs/pathway.pdf").content.startswith(b"%PDF")
    assert f'href="{ADDRESS}"' in ines.get("/hand-outs/").content.decode()


def test_a_row_that_our_hospital_changed_is_what_the_phone_shows(ines):
    body = documents.latest(KIND).body
    rows = [
        {**r, "says": "Under 3 months, or born early."} if r["id"] == "infant" else r for r in body["rows"]
    ]
    told = {"head": {"call": "rapid response, 5-1234"}, "rows": rows}
    new_version(KIND, told, documents.Approval(), read=1, actor="educator")
    page = text(ines.get(ADDRESS))
    assert "Under 3 months, or born early." in page and "Call: rapid response, 5-1234" in page


def test_while_off_the_page_says_nothing_of_the_desk_to_those_who_measure(book, desk):
    approve()
    page = let_in("assessor").get(ADDRESS).content.decode()
    assert "desk" not in page.lower()


def test_turned_on_it_leads_to_the_desk_last_and_names_who_approved_that(ines, lifted, desk):
    approve()
    assert ines.post(SWITCH, asked()).status_code == 302
    answer = let_in("assessor").get(ADDRESS)
    page, until = text(answer), date.fromisoformat(asked()["until"])
    assert answer.content.decode().count('href="/desk-of-this-test/"') == 1
    assert f"by Dr Mara Venn on {timezone.localdate():%d %b %Y}" in page and f"until {until:%d %b %Y}" in page
    assert page.index(CHART) < page.index("Dr Mara Venn") and "pilot on Larch" not in page


def test_turned_on_it_leads_those_who_measure_to_a_desk_that_opens_and_viewers_nowhere(ines, lifted):
    approve()
    ines.post(SWITCH, asked())
    for role, leads in (("assessor", True), ("person", True), ("viewer", False)):
        bearer = let_in(role)
        assert ('href="/questioned/"' in bearer.get(ADDRESS).content.decode()) == leads, role
        assert (bearer.get("/questioned/").status_code == 200) == leads, role


def test_where_there_is_no_desk_nothing_leads_there(ines, lifted, no_desk):
    approve()
    ines.post(SWITCH, asked())
    assert at_bedside.is_on() and "Dr Mara Venn" not in text(let_in("assessor").get(ADDRESS))


def test_ines_turns_it_on_in_a_name_and_off_again_and_both_are_kept(ines, lifted):
    approve()
    assert "Nobody has turned it on." in text(ines.get(SWITCH))
    ines.post(SWITCH, asked())
    assert "on approved by Dr Mara Venn, until" in text(ines.get(SWITCH))
    ines.post(f"{SWITCH}off/", {"reason": "pilot over"})
    page = text(ines.get(SWITCH))
    assert not at_bedside.is_on() and "It was turned off." in page
    assert page.index("entered by educator: pilot over") < page.index("entered by educator: pilot on Larch")


@pytest.mark.parametrize("missing", ["approver", "reason", "until"])
def test_without_a_name_a_reason_or_an_end_it_stays_off(ines, lifted, missing):
    approve()
    assert ines.post(SWITCH, asked(**{missing: "  "})).status_code == 422
    assert not at_bedside.is_on()


def test_beside_a_draft_or_for_longer_than_a_year_it_is_refused_in_words(ines, lifted):
    answer = ines.post(SWITCH, asked())
    assert answer.status_code == 409 and "Have the pathway approved first." in text(answer)
    approve()
    late = timezone.localdate() + timedelta(days=366)
    answer = ines.post(SWITCH, asked(until=f"{late:%Y-%m-%d}"))
    assert answer.status_code == 409 and "within a year" in text(answer) and not at_bedside.is_on()


def test_held_off_the_switch_says_why_and_takes_nothing(ines):
    approve()
    page = ines.get(SWITCH)
    assert at_bedside.HELD_OFF in text(page) and 'name="approver"' not in page.content.decode()
    answer = ines.post(SWITCH, asked())
    assert answer.status_code == 409 and "It cannot be turned on." in text(answer)
    assert at_bedside.turns() == [] and let_in("assessor").get("/questioned/").status_code == 403


@pytest.mark.browser
def test_a_phone_reads_it_ticks_it_off_and_it_forgets(book):
    with pytest.MonkeyPatch.context() as patch, browser() as opened:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        with served() as port:
            approve()
            phone = Tab(opened, port, viewport={"width": 360, "height": 740}, has_touch=True)
            phone.come_in()
            for address in (ADDRESS, SWITCH):
                assert phone.go(address).status == 200
                assert phone.violations() == [] and phone.overflow() <= 0, address
            phone.go(ADDRESS)
            step = phone.page.locator("label.step").first
            # A finger in a glove: 44 px is the target size of WCAG 2.1, criterion 2.5.5 (from memory).
            assert step.bounding_box()["height"] >= 44
            step.tap()
            assert phone.page.locator("input:checked").count() == 1
            assert phone.page.get_by_text(ESCALATE).bounding_box()["y"] < 740 / 2
            phone.go(ADDRESS)
            assert phone.page.locator("input:checked").count() == 0 and phone.complaints == []
            phone.close()
