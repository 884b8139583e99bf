"""The page on which a demonstration is observed, and what it sends, without a browser."""

import json
import re
from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

import invented_demonstrations as cast
from approving import new_version
from browline.store.models import Demonstration, Person, Shift
from invented_demonstrations import CURVED, WHOLE, who


@pytest.fixture(autouse=True)
def ward(book):
    from browline.services.training.demonstrations.assessors import entitle
    from browline.store.models import AssessorStanding

    cast.a_ward()
    AssessorStanding.objects.all().delete()
    today = timezone.localdate()
    for assessor in ("omar", "priya"):
        entitle(who(assessor), start=today - timedelta(days=30), end=None, qualification="x", actor="Ines")


@pytest.fixture
def let(book):
    """Somebody's phone, let in by a pass to assess."""
    from django.test import Client

    from browline.services.book import access_links

    def come(identifier, role="assessor"):
        person = Person.objects.get(identifier=identifier)
        token = access_links.issue(
            role, person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
        )
        client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        client.get(f"/in/pass/{token}/")
        return client

    return come


def embedded(client):
    page = client.get("/observe/").content.decode()
    return json.loads(re.search(r'<script id="embedded"[^>]*>(.*?)</script>', page, re.DOTALL)[1])


def listed(client):
    return {row["identifier"]: row for row in embedded(client)["people"]}


def post(client, *, person="ana", assessor="omar", steps=WHOLE, minutes_ago=1, **more):
    from browline.services.materials import documents

    now = timezone.now()
    told = {
        "key": str(uuid4()), "checklist": str(documents.stored("checklist", date(2026, 1, 1)).pk),
        "person": str(who(person)), "assessor": str(who(assessor)), "second": "", "method": "patient",
        "sent": now.isoformat(), "at": (now - timedelta(minutes=minutes_ago)).isoformat(),
        **{f"step-{step}": mark for step, mark in steps.items()},
    }  # fmt: skip
    return client.post("/observe/record/", json.dumps(told | more), content_type="application/json")


def test_an_assessors_page_holds_all_it_needs_to_go_on_without_a_network(let):
    phone = let("omar")
    page = phone.get("/observe/").content.decode()
    assert "Observed by you, Omar Lind" in page and 'data-outbox-as="assessor omar"' in page
    assert page.count('<fieldset data-step="') == len(WHOLE)
    assert page.count('<strong class="flag">Critical</strong>') == 11
    assert "Follow your instrument’s instructions" in page
    assert set(listed(phone)) == {"ana", "ben", "omar", "priya"}


def test_those_on_duty_soon_and_not_signed_off_come_first(let):
    from browline.services.training.demonstrations import record

    now = timezone.now()
    times = {"start": now + timedelta(hours=2), "end": now + timedelta(hours=14)}
    for identifier in ("ben", "priya"):
        Shift.objects.create(
            person_id=who(identifier), date=now.date(), code="N", kind="night", ward="Larch", **times
        )
    seen = cast.observed(person="priya", time=now - timedelta(days=1))
    record(seen, actor="assessor omar", now=now)
    rows = embedded(let("omar"))["people"]
    assert [(row["identifier"], row["group"]) for row in rows] == [
        ("ben", 0), ("ana", 1), ("omar", 1), ("priya", 2),
    ]  # fmt: skip
    assert rows[-1]["until"]


def test_those_who_left_and_those_on_no_list_are_not_offered(let):
    Person.objects.filter(identifier="ben").update(end=timezone.localdate() - timedelta(days=1))
    Person.objects.filter(identifier="ana").update(listed=False)
    assert set(listed(let("omar"))) == {"omar", "priya"}


def test_what_was_left_last_time_is_on_the_phone(let):
    post(let("omar"), steps=CURVED)
    tomorrow = timezone.localdate() + timedelta(days=1)
    assert listed(let("omar"))["ana"]["next"] == {
        "number": 2, "earliest": tomorrow.isoformat(), "second": False, "beyond": False,
        "again": "straight path, in touch",
    }  # fmt: skip


def test_what_was_left_is_told_to_who_observed_it_and_to_the_educator_alone(let, ines):
    """The number and the day of the next try go to every assessor: the rule has to hold without a network."""
    post(let("omar"), steps=CURVED)
    assert listed(let("priya"))["ana"]["next"] == {**listed(let("omar"))["ana"]["next"], "again": ""}
    assert listed(ines)["ana"]["next"]["again"] == "straight path, in touch"


def test_who_watched_as_the_second_assessor_is_told_what_was_left(let):
    post(let("omar"), steps=CURVED, second=str(who("priya")))
    assert listed(let("priya"))["ana"]["next"]["again"] == "straight path, in touch"


def test_a_phones_record_is_kept_and_answered(let):
    answer = post(let("omar"), steps=CURVED).json()
    assert (answer["kept"], answer["waiting"]) == (True, False)
    assert answer["sentence"].startswith("Not yet")
    assert Demonstration.objects.get().actor == "assessor omar"


def test_a_pass_records_only_as_its_own_person(let):
    answer = post(let("priya"), assessor="omar").json()
    assert (answer["kept"], answer["waiting"]) == (False, True)
    assert not Demonstration.objects.exists()


def test_the_educator_keys_a_paper_sheet_in_for_its_assessor(ines):
    assert "Who observes" in ines.get("/observe/").content.decode()
    assert post(ines, assessor="priya").json()["kept"]
    assert Demonstration.objects.get().assessor.identifier == "priya"


def test_somebody_with_a_pass_who_is_not_entitled_is_told_so_sees_no_names_and_loses_nothing(let):
    phone = let("ben")
    page = phone.get("/observe/").content.decode()
    assert "not entered as an assessor for today" in page and "ask the educator" in page
    assert "Ana Reyes" not in page and "Omar Lind" not in page
    assert 'data-outbox-as="assessor ben"' in page and "outbox.js" in page, (
        "what was recorded before still goes"
    )
    assert post(phone, assessor="ben").json()["waiting"]


@pytest.mark.parametrize("ended", ["entitlement", "person"])
def test_the_list_closes_with_the_entitlement_while_the_pass_goes_on(let, ended):
    from browline.store.models import AssessorStanding

    phone, yesterday = let("omar"), timezone.localdate() - timedelta(days=1)
    assert "Ana Reyes" in phone.get("/observe/").content.decode()
    if ended == "entitlement":
        AssessorStanding.objects.filter(person=who("omar")).update(end=yesterday)
    else:
        Person.objects.filter(identifier="omar").update(end=yesterday)
    assert "Ana Reyes" not in phone.get("/observe/").content.decode()
    assert post(phone, minutes_ago=1).json()["waiting"]


def test_a_record_made_with_an_older_version_of_the_checklist_is_kept_and_judged_by_that_version(let):
    """The phone had the page open when the educator wrote the next version, in which one step is not critical."""
    from browline.competency import checklist
    from browline.services.materials import documents

    before = documents.stored("checklist", timezone.localdate())
    body = checklist.default()
    rows = [{**row, "critical": row["critical"] and row["id"] != "path"} for row in body["rows"]]
    approval = documents.Approval(
        "Ines", "policy", timezone.localdate(), timezone.localdate() + timedelta(days=90)
    )
    new_version("checklist", {**body, "rows": rows}, approval, read=before.version, actor="Ines")
    assert documents.in_force("checklist", timezone.localdate()).pk != before.pk
    answer = post(let("omar"), steps=CURVED, checklist=str(before.pk)).json()
    made = Demonstration.objects.get()
    assert answer["kept"] and (made.checklist_id, made.outcome) == (before.pk, "not-yet")


def test_a_step_of_the_older_version_that_the_newer_one_dropped_is_kept(let):
    from browline.competency import checklist
    from browline.services.materials import documents

    before = documents.stored("checklist", timezone.localdate())
    body = checklist.default()
    rows = [row for row in body["rows"] if row["id"] != "cleans"]
    new_version("checklist", {**body, "rows": rows}, documents.Approval(), read=before.version, actor="Ines")
    assert post(let("omar"), checklist=str(before.pk)).json()["kept"]
    assert Demonstration.objects.get().steps["cleans"] == "done"


@pytest.mark.parametrize(
    "body", ["", "[]", "{}", "not json", '"x"', '{"key": ""}', "{" + " " * 70_000 + '"key": "x"}']
)
def test_what_is_no_record_is_neither_kept_nor_waiting(let, body):
    answer = let("omar").post("/observe/record/", body, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json()["kept"] is False and answer.json()["waiting"] is False


def test_an_ended_pass_answers_no_json_so_that_the_phone_keeps_its_records(let):
    from browline.services.book import access_links
    from browline.store.models import Pass

    phone = let("omar")
    access_links.revoke(Pass.objects.get().pk, "Ines")
    answer = post(phone)
    assert answer.status_code == 403 and "json" not in answer["Content-Type"]


@pytest.mark.parametrize("role", ["person", "viewer"])
def test_the_page_is_not_for_other_passes(let, role):
    phone = let("ana", role)
    assert phone.get("/observe/").status_code == 403
    assert post(phone).status_code == 403
    assert not Demonstration.objects.exists()


def test_the_same_checklist_is_there_on_paper(let):
    page = let("omar").get("/observe/sheet/").content.decode()
    assert page.count('<td class="tickbox">') == 3 * len(WHOLE)
    assert page.count('<strong class="flag">Critical</strong>') == 11
    assert "version 1, DRAFT" in page and "a patient who looks ill is escalated" in page
