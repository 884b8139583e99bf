"""The log of questioned readings on its pages: a line on a phone, the list, what it teaches, the sheets."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from browsing import Tab, browser, served
from django.utils import timezone

from browline.services.instruments import register
from browline.services.questioned.line import Line, Value
from browline.services.questioned.log import log, standing_lines
from browline.weeks import monday_of

NOT_THE_RECORD = (
    "Chart every reading with its site in the patient record; this is not the record. No name, no bed, no number of a "
    "patient."
)


def text(answer):
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


@pytest.fixture
def wards(book):
    """Larch with FS-07 and FS-08, and eight more on Maple."""
    for n in range(7, 17):
        register.add_instrument(f"FS-{n:02d}", ward="Larch" if n < 9 else "Maple", unit="C", actor="Ines")
    return book


@pytest.fixture
def let(book):
    """Omar's or Ada's phone, let in by an assessor's pass."""
    from django.test import Client

    from browline.services.book import access_links
    from browline.store.models import Person

    def come(identifier):
        person = Person.objects.get_or_create(identifier=identifier, defaults={"pseudonym": int(identifier)})[
            0
        ]
        token = access_links.issue(
            "assessor", person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
        )
        client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        assert client.get(f"/in/pass/{token}/").status_code == 302
        return client

    return come


def filled(**more):
    """A form as a browser posts it: 38.6 on FS-07 at the forehead was accepted, 37.1 in the armpit was not."""
    rows = {
        f"v{n}-{what}": value
        for n in range(4)
        for what, value in {"value": "", "unit": "C", "site": "", "instrument": ""}.items()
    }
    first = {"v0-value": "38.6", "v0-site": "temporal", "v0-instrument": "FS-07"}
    second = {"v1-value": "37,1", "v1-site": "axillary"}
    rest = {
        "key": str(uuid4()),
        "rows": "4",
        "accepted": "0",
        "cause": "lag",
        "done": ["escalated", "other-site"],
    }
    about = {
        "week": monday_of(timezone.localdate()).isoformat(),
        "part": "night",
        "ward": "Larch",
        "age": "5-64-years",
    }
    return {**rows, **first, **second, **rest, **about, **more}


def kept(times, instrument="FS-07", cause="lens"):
    values = (Value("temporal", 35.1, "C", instrument), Value("oral", 37.2, "C"))
    week = monday_of(timezone.localdate())
    for _ in range(times):
        log(
            Line(week, values, cause, ("waited",), accepted=1, ward="Larch"),
            actor="educator",
            today=timezone.localdate(),
        )


def test_a_line_is_logged_and_stands_in_the_list(wards, ines):
    answer = ines.post("/questioned/log/new/", filled(), follow=True)
    page = text(answer)
    assert "Logged. Thank you." in page and "Slower site (lag)" in page
    assert "38.6 °C temporal, FS-07 accepted" in page and "37.1 °C axillary" in page
    assert "night (00 to 06), Larch, 5 to 64 years" in page and "Escalated; read at another site." in page
    (line,) = standing_lines()
    assert (
        line.values[1] == {"site": "axillary", "value": 37.1, "unit": "C", "instrument": ""}
        and line.accepted == 0
    )


@pytest.mark.parametrize(
    ("address", "then"), [("/questioned/log/", "Every line"), ("/questioned/log/new/", "Value 1")]
)
def test_first_of_all_it_says_that_this_is_not_the_record(wards, ines, address, then):
    page = text(ines.get(address))
    assert NOT_THE_RECORD in page and page.index(NOT_THE_RECORD) < page.index(then)


def test_there_is_no_field_to_write_words_in(wards, ines):
    page = ines.get("/questioned/log/new/").content.decode()
    inputs = re.findall(r"<input[^>]*>", page)
    written = [one for one in inputs if 'type="text"' in one]
    assert len(written) == 4 and all(
        'inputmode="decimal"' in one and 'maxlength="6"' in one for one in written
    )
    assert "<textarea" not in page


def test_one_more_value_comes_without_a_script_and_loses_nothing(wards, ines):
    answer = ines.post("/questioned/log/new/", filled(more="1", accepted="1", key=(key := str(uuid4()))))
    page = answer.content.decode()
    assert answer.status_code == 200 and page.count('class="value"') == 5 and 'role="alert"' not in page
    assert 'value="37,1"' in page and key in page and re.search(r'id="accepted-1" checked', page)
    assert re.search(r'id="cause-lag" checked', page) and not standing_lines().exists()
    again = ines.post("/questioned/log/new/", filled(more="1", rows="20"))
    assert again.content.decode().count('class="value"') == 20 and "One more value" not in text(again)


def test_asked_for_a_row_a_form_half_filled_in_is_not_wrong_yet(wards, ines):
    answer = ines.post("/questioned/log/new/", filled(more="1", cause="", done=[], **{"v1-site": ""}))
    assert answer.status_code == 200 and "errorlist" not in answer.content.decode()


def test_the_fifth_value_is_kept_as_well(wards, ines):
    fifth = {"rows": "5", "v4-value": "38.3", "v4-unit": "C", "v4-site": "temporal", "v4-instrument": "FS-08"}
    ines.post("/questioned/log/new/", filled(**fifth, accepted="4"))
    (line,) = standing_lines()
    assert [v["value"] for v in line.values] == [38.6, 37.1, 38.3] and line.accepted == 2


def test_the_form_sent_twice_is_one_line(wards, ines):
    form = filled()
    ines.post("/questioned/log/new/", form)
    assert "in the log already" in text(ines.post("/questioned/log/new/", form, follow=True))
    assert standing_lines().count() == 1


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"v1-value": ""}, "at least two values"),
        ({"v1-value": "warm"}, "missing or no number"),
        ({"v1-site": ""}, "Say the site."),
        ({"v1-value": "98.8"}, "Is °F meant?"),
        ({"v1-instrument": "bed 4"}, "missing or no number"),
        ({"accepted": ""}, "which of the values entered was accepted"),
        ({"accepted": "3"}, "which of the values entered was accepted"),
        ({"cause": ""}, "“not found” is an answer"),
        ({"done": []}, "Tick what was done."),
        ({"ward": "Bed 4"}, "Ward: Select a valid choice"),
        ({"key": "x"}, "Enter a valid UUID"),
        ({"week": "next"}, "Enter a valid date"),
    ],
)
def test_what_is_amiss_is_said_and_nothing_is_kept(wards, ines, facts, told):
    answer = ines.post("/questioned/log/new/", filled(**facts))
    assert answer.status_code == 422 and told in text(answer)
    assert not standing_lines().exists()


def test_an_assessor_logs_and_sees_their_own_lines_only(wards, let):
    omar, ada = let("00417"), let("00512")
    omar.post("/questioned/log/new/", filled())
    (line,) = standing_lines()
    assert line.actor == "assessor 00417"
    assert "Slower site (lag)" in text(omar.get("/questioned/log/")) and "None yet." in text(
        ada.get("/questioned/log/")
    )
    assert ada.post(f"/questioned/log/{line.pk}/take-back/", {"reason": "twice"}).status_code >= 400
    assert standing_lines().exists()
    assert "What they teach" not in text(omar.get("/questioned/log/"))
    assert omar.get("/questioned/learning/").status_code == 403


def test_a_line_is_taken_back_with_a_reason_and_stays_to_be_read(wards, ines):
    ines.post("/questioned/log/new/", filled())
    (line,) = standing_lines()
    page = text(ines.post(f"/questioned/log/{line.pk}/take-back/", {"reason": "mistake"}, follow=True))
    assert "taken back: something in it is wrong" in page and "Slower site (lag)" in page
    assert not standing_lines().exists()
    assert ines.post(f"/questioned/log/{line.pk}/take-back/", {"reason": "he is Mr Ash"}).status_code >= 400


def test_what_the_lines_teach(wards, ines):
    kept(9)
    kept(3, "FS-08", "drink")
    kept(1, "FS-09", "mis-keyed")
    page = text(ines.get("/questioned/learning/"))
    assert "13 lines from" in page and "lens dirty" in page and "others, fewer than 3 lines each" in page
    assert (
        "wrong patient"
        not in page.split("Every instrument")[0].split("Causes, commonest first")[1].split("FS-07")[0]
    )
    assert "Bring a spare, tag it, send it for a check." in page and "Questioned 9 times" in page
    assert "Not estimated: questioned readings cannot tell how far an instrument reads off." in page
    assert "80,065 quick pairs" in page and "fail" not in page.lower()


def test_few_lines_draw_nothing_and_say_so(wards, ines):
    kept(2)
    page = text(ines.get("/questioned/learning/"))
    assert "Fewer than 10 lines" in page and "Too few to tell" in page and "Not estimated" in page
    assert "<svg" not in ines.get("/questioned/learning/").content.decode()


def test_an_instrument_that_recurs_stands_on_today(wards, ines):
    kept(8)
    page = ines.get("/").content.decode()
    assert "FS-07 recurs in questioned readings: bring a spare, tag it, send it for a check." in page
    assert "/questioned/learning/" in page


def test_it_stands_on_its_own_page_until_a_check_is_entered(wards, ines):
    from browline.store.models import Instrument

    kept(8)
    pages = {i.name: f"/instruments/{i.pk}/" for i in Instrument.objects.all()}
    assert "Recurs in questioned readings" in text(ines.get(pages["FS-07"]))
    assert "Recurs in questioned readings" not in text(ines.get(pages["FS-08"]))
    register.enter_check("FS-07", time=timezone.now(), reference=37.0, shown=37.0, actor="Ines")
    assert "Recurs in questioned readings" not in text(ines.get(pages["FS-07"]))


@pytest.mark.parametrize(
    "address", ["/questioned/learning/sheet.pdf", "/questioned/learning/sheet.pdf?paper=us-letter&weeks=13"]
)
def test_the_sheet_comes_as_pdf(wards, ines, address):
    answer = ines.get(address)
    assert answer["Content-Type"] == "application/pdf" and answer.content.startswith(b"%PDF")


@pytest.mark.browser
def test_a_line_is_logged_on_a_telephone(wards, monkeypatch):
    """360 px, with thumbs: sound by axe, every target large, one more value, logged."""
    kept(10)
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with browser() as opened, served() as port:
        tab = Tab(opened, port, viewport={"width": 360, "height": 740}, has_touch=True)
        try:
            tab.page.set_default_timeout(5000)
            tab.come_in()
            for address in ("/questioned/log/", "/questioned/learning/", "/questioned/log/new/"):
                assert tab.go(address).status == 200
                assert tab.overflow() <= 0 and tab.violations() == [], address
            small = [
                one
                for one in tab.page.locator(".logged .tick label, .logged select, .logged button").all()
                if one.is_visible() and one.bounding_box()["height"] < 40
            ]
            assert small == []
            _log_with_thumbs(tab.page)
            tab.page.locator(".messages", has_text="Logged. Thank you.").wait_for()
            assert tab.complaints == []
        finally:
            tab.close()
    line = standing_lines().last()
    assert [v["value"] for v in line.values] == [36.1, 38.2] and line.accepted == 1 and line.cause == "damp"


def _log_with_thumbs(page):
    page.locator("#id_v0-value").fill("36,1")
    page.locator("#id_v0-site").select_option("temporal")
    page.locator("button[name=more]").tap()
    page.locator("#value-5").wait_for()
    assert page.input_value("#id_v0-value") == "36,1"
    page.locator("#id_v1-value").fill("38.2")
    page.locator("#id_v1-site").select_option("oral")
    page.locator("label[for=accepted-1]").tap()
    page.locator("label[for=cause-damp]").tap()
    page.locator("label[for=done-waited]").tap()
    page.locator(".save").tap()
