"""The desk for questioned readings: escalation first, an answer in words, nothing typed kept, closed to phones."""

import re
from datetime import timedelta
from html import unescape

import pytest
from browsing import Tab, browser, served
from django.utils import timezone

from browline.services.book import change_preference
from browline.services.questioned.contraindications import FLAGS
from browline.site_choice import ESCALATE

ADDRESS = "/questioned/"
NOBODY = {"form-TOTAL_FORMS": "4", "form-INITIAL_FORMS": "0", "age": "adult", "care": "ward", "another": "on"}
# Common practice, no source: while a patient is cooled the rectum stays high for a while after the oesophagus.
READ = {
    "form-0-value": "98.4", "form-0-site": "oesophageal", "form-0-minutes_ago": "8",
    "form-1-value": "38.5", "form-1-unit": "C", "form-1-site": "rectal", "form-1-minutes_ago": "2",
    "cooled": "yes",
}  # fmt: skip
LAGGING = {**NOBODY, **READ}
# Two scanners agree on a low forehead, the mouth reads high.
FOREHEADS = {
    **NOBODY, "damp": "yes", "hot-drink": "no",
    "form-0-value": "36.3", "form-0-site": "temporal", "form-0-minutes_ago": "12", "form-0-instrument": "FS-07",
    "form-1-value": "36.4", "form-1-site": "temporal", "form-1-minutes_ago": "6", "form-1-instrument": "FS-12",
    "form-2-value": "38.3", "form-2-unit": "C", "form-2-site": "oral", "form-2-minutes_ago": "2",
}  # fmt: skip


def text(answer):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", answer.content.decode())).split())


def in_order(page, *words):
    at = [page.index(word) for word in words]
    return at == sorted(at)


def live(ines, given):
    """What the page asks for while it is being filled in."""
    return ines.post(ADDRESS, given, headers={"hx-request": "true"})


def let_in(role):
    from django.test import Client

    from browline.services.book import access_links
    from browline.store.models import Person

    person = Person.objects.get_or_create(identifier="00417", defaults={"pseudonym": 7})[0]
    token = access_links.issue(
        role, person=person, until=timezone.now() + timedelta(hours=1), actor="educator"
    )
    client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    client.get(f"/in/pass/{token}/")
    return client


def test_escalation_is_said_before_anything_is_asked(ines):
    page = text(ines.get(ADDRESS))
    assert in_order(page, ESCALATE, "Two readings disagree", "Reading 1", "Reading 4")
    assert "a reading older than 60 minutes is shown and not used" in page
    assert "Nothing typed here is kept" in page and "Reading 5" not in page


def test_an_answer_is_read_from_the_top(ines):
    page = text(ines.post(ADDRESS, LAGGING))
    assert in_order(
        page, ESCALATE, "act on the safer reading: 38.5 °C (101.3 °F)",
        "These readings cannot settle it. What would most likely do so:", "Where the core is likely to be",
        "What to do next",
        "How the readings may hang together", "Which reading misled, and how", "To heed", "Reading 1",
    )  # fmt: skip
    assert page.count(ESCALATE) == 1


def ways(page):
    return page.split("How the readings may hang together")[1].split("Which reading misled")[0]


def test_the_slow_site_leads_with_its_chance(ines):
    told = ways(text(ines.post(ADDRESS, LAGGING)))
    assert in_order(told, "The rectum is behind", "The technique slipped")
    assert re.search(r"About \d in 10 +The rectum is behind", told)


def test_the_bias_that_the_foreheads_share_stays_in_the_list(ines):
    told = ways(text(ines.post(ADDRESS, FOREHEADS)))
    assert in_order(told, "A damp or sweating skin read low", "This patient’s forehead reads otherwise")


def test_what_must_not_be_used_stands_last_with_its_reason(ines):
    page = text(ines.post(ADDRESS, {**LAGGING, "flags": ["no-rectal"]}))
    steps = page.split("What to do next")[1].split("How the readings")[0]
    assert "Not: Read the rectum once more" in steps and steps.count("Read the rectum once more") == 1
    assert steps.index("Not: ") > steps.index("Read another site")


def test_a_core_probe_in_place_is_read_first(ines):
    page = text(ines.post(ADDRESS, {**LAGGING, "core_probe": "bladder"}))
    assert page.split("stands first.")[1].strip().startswith("Read the bladder probe that is in place. Now.")


def test_where_the_numbers_come_from_is_said(ines):
    page = text(ines.post(ADDRESS, FOREHEADS))
    assert "Where the numbers come from: published figures" in page
    assert "Forehead against the core: as published, not from this book." in page
    assert "may miss more fevers in some groups of patients (published, and disputed)" in page
    assert "Bhavani 2022" in page and "disputed in a published reply" in page
    assert "Armpit against" not in page


def test_the_band_is_drawn_with_its_words(ines):
    drawn = ines.post(ADDRESS, FOREHEADS).content.decode()
    svg = re.search(r"<svg.*?</svg>", drawn, re.DOTALL)[0]
    assert svg.count('class="reading-at"') + svg.count('class="off"') == 3 and svg.count('class="core"') == 1
    assert "3 readings beside where the core was when each was taken, and the core now," in svg
    assert "fever 38.0 °C" in svg and "style=" not in drawn

    change_preference.set_choice("show_unit", "F", "ines")
    drawn = ines.post(ADDRESS, LAGGING).content.decode()
    assert "fever 100.4 °F" in drawn and "101.3 °F (38.5 °C)" in drawn


def test_numbers_of_the_drawing_lie_where_they_belong():
    """On a scale from 36 to 40 °C 38 lies in the middle, the ends at the edges."""
    from browline.web.questioned.desk.interval_drawing import EDGE, WIDTH, Scale

    scale = Scale(36.0, 40.0)
    assert (scale.x(36.0), scale.x(38.0), scale.x(40.0)) == (EDGE, WIDTH / 2, WIDTH - EDGE)


def test_filling_it_in_swaps_the_answer_alone(ines):
    part = live(ines, LAGGING)
    assert part.status_code == 200 and "<form" not in part.content.decode()
    assert text(part).startswith(ESCALATE) and 'hx-swap-oob="innerHTML"' in part.content.decode()
    assert "Enter a reading" in text(live(ines, NOBODY))
    form = re.search(r"<form[^>]*asking[^>]*>", ines.get(ADDRESS).content.decode())[0]
    assert f'hx-post="{ADDRESS}"' in form and 'hx-target="#answer"' in form and 'autocomplete="off"' in form


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ({"form-0-value": "60"}, "Reading 1, value: The value is '60'. Neither a unit nor the size of the number"),
        ({"form-1-site": ""}, "Reading 2, site: Choose where it was read."),
        ({"form-1-minutes_ago": "2000"}, "Reading 2, minutes ago: "),
        ({"form-1-site": "elbow"}, "Reading 2, site: "),
        ({"age": "old"}, "Age: "),
        ({"damp": "maybe"}, "Damp forehead or sweating: ".lower()),
        ({"flags": ["tall"]}, "Risks, and reasons against a site: "),
    ],
)  # fmt: skip
def test_a_slip_is_told_with_its_place_and_escalation_stands(ines, slip, told):
    answer = ines.post(ADDRESS, {**LAGGING, **slip})
    page = text(answer)
    assert answer.status_code == 422 and told.lower() in page.lower()
    assert in_order(page, ESCALATE, "Not answered yet") and "hang together" not in page
    assert live(ines, {**LAGGING, **slip}).status_code == 200


def test_a_unit_that_was_put_right_is_said(ines):
    page = text(ines.post(ADDRESS, {**LAGGING, "form-0-unit": "C"}))
    assert "Reading 1, 98.4: The number can only be in the other unit" in page


def test_more_lines_come_without_a_script_and_end_at_twenty(ines):
    page = ines.post(ADDRESS, {**LAGGING, "more": "1"})
    assert page.status_code == 200 and text(page).count("Minutes ago") == 8
    assert 'value="98.4"' in page.content.decode() and "hang together" not in text(page)
    full = ines.post(ADDRESS, {**LAGGING, "form-TOTAL_FORMS": "19", "more": "1"})
    assert text(full).count("Minutes ago") == 20 and "More lines" not in text(full)
    assert 'name="form-TOTAL_FORMS" value="20"' in full.content.decode()
    assert ines.post(ADDRESS, {**LAGGING, "form-TOTAL_FORMS": "x" * 9, "more": "1"}).status_code == 200
    assert ines.post(ADDRESS, {**LAGGING, "form-TOTAL_FORMS": "900"}).status_code == 422


def test_nothing_typed_is_stored_logged_or_put_in_an_address(ines, caplog):
    from browline.store.models import Event

    before = Event.objects.count()
    with caplog.at_level("DEBUG"):
        answer = ines.post(ADDRESS, {**LAGGING, "flags": ["neutropenia"], "form-0-instrument": "FS-9977"})
    assert Event.objects.count() == before and "no-store" in answer["Cache-Control"]
    assert "9977" not in " ".join(str(record.__dict__) for record in caplog.records)
    assert dict(ines.session.items()).keys() <= {"_auth_user_id", "_auth_user_backend", "_auth_user_hash"}
    assert "9977" not in text(ines.get(f"{ADDRESS}?form-0-instrument=FS-9977")) + str(answer.cookies)


def test_a_forged_post_is_refused(book):
    from django.test import Client

    from browline.web.access import make_token

    strict = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"}, enforce_csrf_checks=True)
    strict.get(f"/in/{make_token()}/")
    assert strict.post(ADDRESS, LAGGING).status_code == 403


def test_those_who_measure_reach_it_only_while_an_approver_has_it_on(book, monkeypatch):
    from browline.services.questioned import at_bedside

    assessor = let_in("assessor")
    assert assessor.get(ADDRESS).status_code == 403
    assert assessor.post(ADDRESS, LAGGING).status_code == let_in("person").get(ADDRESS).status_code == 403
    turn = at_bedside.Turn(True, "Dr Mara Venn", "pilot", timezone.now(), timezone.localdate(), 1, "educator")
    monkeypatch.setattr(at_bedside, "standing", lambda now: at_bedside.Standing(True, turn, ""))
    assert "turned on at the bedside by Dr Mara Venn" in text(assessor.post(ADDRESS, LAGGING))
    assert let_in("person").get(ADDRESS).status_code == 200
    assert let_in("viewer").get(ADDRESS).status_code == 403


def test_ines_is_told_that_it_is_off_at_the_bedside_and_where_the_pathway_is(ines):
    page = ines.post(ADDRESS, LAGGING).content.decode()
    assert (
        "It is off at the bedside." in page
        and 'href="/bedside/"' in page
        and 'href="/questioned/log/new/"' in page
    )


def test_every_page_leads_here(ines):
    page = ines.get(ADDRESS).content.decode()
    assert re.search(r'<a href="/questioned/" aria-current="page">Questioned readings</a>', page)
    assert re.search(r'<a href="/questioned/" aria-current="true">', ines.get("/bedside/").content.decode())


def test_every_contraindication_is_asked(ines):
    page = ines.get(ADDRESS).content.decode()
    assert all(f'value="{word}"' in page for word in FLAGS)


@pytest.mark.browser
def test_on_a_phone_it_answers_while_it_is_filled_in(book, monkeypatch):
    """One telephone, 360 px: fill it in, see the answer, press the button; then without a script; then wide."""
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with browser() as opened, served() as port:
        phone = Tab(opened, port, viewport={"width": 360, "height": 740}, has_touch=True)
        phone.page.set_default_timeout(6000)
        phone.come_in()
        phone.go(ADDRESS)
        assert phone.overflow() <= 0
        fill(phone.page)
        phone.page.locator("#answer", has_text="The rectum is behind").wait_for(state="attached")
        assert "Answered: These readings" in phone.page.locator("#in-short").inner_text()
        phone.page.get_by_label("Neutropenia").check()
        phone.page.locator("#answer", has_text="cannot argue against acting").wait_for(state="attached")
        phone.page.get_by_label("Neutropenia").uncheck()
        phone.page.locator("#answer", has_text="The rectum is behind").wait_for(state="attached")
        taps = [one.bounding_box() for one in phone.page.locator(".tap").all()]
        assert min(min(box["width"], box["height"]) for box in taps) >= 44
        phone.page.get_by_role("button", name="Show the answer").click()
        phone.page.locator(".desk > #answer:first-child .escalate").wait_for()
        assert phone.page.locator("#answer .escalate").bounding_box()["y"] < 400
        assert phone.violations() == [] and phone.overflow() <= 0
        assert phone.page.url == f"{phone.origin}{ADDRESS}" and phone.complaints == []
        phone.page.set_viewport_size({"width": 1280, "height": 800})
        boxes = [phone.page.locator(part).bounding_box() for part in (".asking", "#answer")]
        assert boxes[0]["x"] + boxes[0]["width"] < boxes[1]["x"] and phone.overflow() <= 0
        phone.close()
        plain = Tab(opened, port, viewport={"width": 360, "height": 740}, java_script_enabled=False)
        plain.come_in()
        plain.go(ADDRESS)
        fill(plain.page)
        plain.page.get_by_role("button", name="Show the answer").click()
        assert "The rectum is behind" in plain.page.locator("#answer").inner_text()
        plain.close()


def fill(page):
    """Two readings and two answers, as a thumb does."""
    for name, value in READ.items():
        field = page.locator(f"[name='{name}']")
        if field.count() == 3:
            page.check(f"[name='{name}'][value='{value}']")
        elif name.endswith(("site", "unit")):
            field.select_option(value)
        else:
            field.fill(value)


def test_of_a_patient_who_gets_worse_the_page_tells_no_chance(ines):
    page = ines.post(ADDRESS, {**LAGGING, "worsening": "yes"})
    said = text(page)
    assert in_order(
        said, ESCALATE, "Looks ill: escalate before", "38.5 °C (101.3 °F)",
        "cannot argue against acting", "No chance is told", "What can be read meanwhile",
    )  # fmt: skip
    for word in (" in 10 ", " in 100", "hang together", "likely to be", "misled, and how", "point to a core"):
        assert word not in said.split("Reading 1")[0], word
    assert "<svg" not in page.content.decode() and "A reading" not in said.split("Reading 1")[0]


def test_an_old_reading_is_shown_as_not_used_and_not_drawn(ines):
    page = ines.post(ADDRESS, {**LAGGING, "form-0-minutes_ago": "90"})
    said = text(page)
    assert "Not used: 36.9 °C (98.4 °F), oesophageal probe, 90 minutes ago." in said
    svg = re.search(r"<svg.*?</svg>", page.content.decode(), re.DOTALL)[0]
    assert svg.count('class="reading-at"') + svg.count('class="off"') == 1
    alone = text(
        ines.post(
            ADDRESS,
            {**NOBODY, **{k: v for k, v in READ.items() if "form-0" in k}, "form-0-minutes_ago": "90"},
        )
    )
    assert "Read again now" in alone and "What can be read meanwhile" in alone
