"""The site and cover chooser: typed, answered, kept nowhere."""

import pytest

from browline.site_choice import DEFERS, ESCALATE

ADDRESS = "/hand-outs/site-and-cover/"
ADULT = {"age": "5-years-up", "isolation": "none"}


def text(answer):
    from html import unescape

    return " ".join(unescape(answer.content.decode()).split())


def test_escalation_is_said_before_anything_is_asked(ines):
    page = text(ines.get(ADDRESS))
    assert page.index(ESCALATE) < page.index("<form") and DEFERS in page
    assert "Nothing is stored" in page


def test_a_damp_adult_gets_one_site_one_cover_and_escalation_first(ines):
    page = text(ines.post(ADDRESS, {**ADULT, "ticks": ["damp"]}))
    assert page.index(ESCALATE) < page.index(
        "Wipe the forehead dry, scan it, and end with a touch behind the earlobe."
    )
    for words in (
        "None: the probe is wiped between patients",
        "A wet forehead reads too low",
        "Published:",
        DEFERS,
    ):
        assert words in page, words
    assert page.count(">Site</h2>") == page.count(">Cover</h2>") == 1
    assert "These rules are not in force: local policy decides." in page


def test_temperatures_stand_in_both_units(ines):
    # 38.3 °C is 100.94 °F, 38.0 °C is 100.4 °F: definition of the scales.
    page = text(ines.post(ADDRESS, {**ADULT, "ticks": ["neutropenia"]}))
    assert (
        "38.3 °C (100.9 °F)" in page
        and "38.0 °C (100.4 °F)" in page
        and "{" not in page.split("<form")[0].split("</head>")[1]
    )


def test_an_emergency_stands_above_site_and_cover(ines):
    page = text(ines.post(ADDRESS, {**ADULT, "ticks": ["neutropenia"]}))
    assert (
        page.index("Fever in neutropenia is an emergency")
        < page.index(">Site</h2>")
        < page.index(">Cover</h2>")
    )
    infant = text(ines.post(ADDRESS, {**ADULT, "age": "4-weeks-3-months"}))
    assert infant.index("or looks ill, or feeds poorly") < infant.index(">Site</h2>")
    assert ">First</h2>" not in text(ines.post(ADDRESS, ADULT))


def test_without_an_age_nothing_is_answered(ines):
    answer = ines.post(ADDRESS, {"isolation": "none"})
    assert answer.status_code == 422
    assert "Choose an age" in text(answer) and ">Cover</h2>" not in text(answer)


@pytest.mark.parametrize("given", [{"age": "old"}, {"ticks": ["tall"]}, {"isolation": "maybe"}])
def test_words_that_are_not_known_are_not_answered(ines, given):
    assert ines.post(ADDRESS, {**ADULT, **given}).status_code == 422


def test_flags_in_an_address_are_not_taken_up(ines):
    page = text(ines.get(f"{ADDRESS}?age=5-years-up&ticks=neutropenia"))
    assert (
        ">Site</h2>" not in page
        and "checked" not in page.replace("checked>", "checked").split('value="none"')[0]
    )
    assert 'method="post"' in page and 'autocomplete="off"' in page


def test_nothing_typed_is_stored_logged_or_cached(ines, caplog):
    from browline.store.models import Event

    before = Event.objects.count()
    with caplog.at_level("DEBUG"):
        answer = ines.post(ADDRESS, {**ADULT, "ticks": ["neutropenia"]})
    assert Event.objects.count() == before
    assert "no-store" in answer["Cache-Control"]
    assert "neutropenia" not in " ".join(str(record.__dict__) for record in caplog.records)
    assert dict(ines.session.items()).keys() <= {"_auth_user_id", "_auth_user_backend", "_auth_user_hash"}
    assert "neutropenia" not in str(answer.cookies)


def test_a_forged_post_is_refused(book):
    from django.test import Client

    from browline.web.access import make_token

    strict = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"}, enforce_csrf_checks=True)
    strict.get(f"/in/{make_token()}/")
    assert strict.post(ADDRESS, ADULT).status_code == 403


def test_rules_that_leave_nothing_say_so_and_escalate(ines):
    """The editor refuses such rules; a book of an older version may hold them all the same."""
    from browline.services.materials import documents
    from browline.store.models import ControlledDocument

    body = documents.latest("site-and-cover").body
    rows = [row for row in body["rows"] if row["kind"] == "caution"]
    ControlledDocument.objects.create(
        kind="site-and-cover", version=1, body={**body, "rows": rows}, actor="old"
    )
    page = text(ines.post(ADDRESS, ADULT))
    assert "These rules leave no answer for this patient." in page and ESCALATE in page


def test_the_editor_refuses_rules_that_leave_nothing(ines):
    from browline.services.materials import documents

    told = {"read": "1", "row-TOTAL_FORMS": "1", "row-INITIAL_FORMS": "1", "row-0-ORDER": "1"}
    needed = {
        f"row-0-{field.name}": "1" for field in documents.layout("site-and-cover").fields if field.needed
    }
    row = {**needed, "row-0-kind": "caution"}
    answer = ines.post("/documents/site-and-cover/change/", {**told, **row})
    assert answer.status_code == 409 and "without an answer" in answer.content.decode()
    assert documents.latest("site-and-cover").version == 1


@pytest.fixture
def older(ines):
    """An approved set of rules from before the limits: after an injury it goes behind the ear."""
    from datetime import date, timedelta

    from browline.services.materials import documents
    from browline.site_choice.limits import LIMITS
    from browline.store.models import ControlledDocument

    body = documents.latest("site-and-cover").body
    without = [row for row in body["rows"] if row["id"] not in {limit["id"] for limit in LIMITS}]
    neck = {
        **body["rows"][0],
        "id": "neck",
        "kind": "site",
        "when": ["forehead-injury"],
        "says": "Behind the ear.",
    }
    rows = [*without, {**neck, "sites": ["behind-ear"], "priority": 59.0}]
    today = date.today()
    return ControlledDocument.objects.create(
        kind="site-and-cover", version=1, body={**body, "rows": rows}, actor="old", owner="Ines Quill",
        source="our own", approved=today - timedelta(days=30), expires=today + timedelta(days=300),
    )  # fmt: skip


def test_an_approved_set_from_before_the_limits_opens_and_is_read_with_them(ines, older):
    page = text(ines.post(ADDRESS, {**ADULT, "isolation": "contact", "ticks": ["forehead-injury", "damp"]}))
    assert "Behind the ear." not in page and "Never the neck alone" in page and "Oral." in page
    assert "A new probe cover for each reading" in page
    assert "added by the program, for this set of rules has no such rule" in page
    assert text(ines.get("/documents/site-and-cover/")).count("Behind the ear.") >= 1
    card = ines.get("/hand-outs/site-card.pdf")
    assert card.status_code == 200 and card.content.startswith(b"%PDF")


def test_neutropenia_with_a_sore_mouth_asks_for_the_hospitals_decision(ines):
    page = text(ines.post(ADDRESS, {**ADULT, "ticks": ["neutropenia", "no-oral"]}))
    asked = "ask now which site and which line this hospital has decided on"
    assert (
        page.index("Fever in neutropenia is defined by mouth") < page.index(asked) < page.index(">Site</h2>")
    )
