"""The records on their pages: who reads which, the locked view, amendments, scores, assessors, what waits."""

import re
from datetime import date, timedelta

import pytest
from django.utils import timezone

import invented_demonstrations as cast
from browline.services.training.demonstrations import record
from browline.services.training.demonstrations.pending import receive, waiting
from browline.store.models import AssessorStanding, Demonstration, Event, Person, SecondScore
from invented_demonstrations import CURVED, WHOLE, who

YESTERDAY = timezone.now().replace(microsecond=0) - timedelta(days=1)


@pytest.fixture(autouse=True)
def ward(book):
    cast.a_ward()
    AssessorStanding.objects.update(start=YESTERDAY.date() - timedelta(days=30), end=None)


@pytest.fixture
def omar(book):
    return phone_of("omar")


def phone_of(identifier):
    from django.test import Client

    from browline.services.book import access_links

    person = Person.objects.get(identifier=identifier)
    token = access_links.issue(
        "assessor", person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
    )
    client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    client.get(f"/in/pass/{token}/")
    return client


def kept(**facts):
    what = cast.observed(**{"time": YESTERDAY, **facts})
    return record(what, actor="assessor omar", now=timezone.now()).demonstration


def form(made, **changes):
    """The amend form as the page shows it, with some fields changed."""
    told = {
        "reason": "The line was read wrongly.", "person": made.person.identifier,
        "assessor": made.assessor.identifier, "second": "", "method": made.method, "ward": made.ward,
        "instrument": made.instrument, "taught": made.taught,
        "time": made.time.strftime("%Y-%m-%dT%H:%M"), **{f"step-{s}": m for s, m in made.steps.items()},
    }  # fmt: skip
    return told | changes


def text(answer):
    return answer.content.decode()


def test_ines_sees_all_latest_first_and_finds_by_person_or_ward(ines):
    kept()
    kept(person="ben", assessor="priya", ward="Maple", time=YESTERDAY + timedelta(hours=1))
    page = text(ines.get("/teaching/demonstrations/"))
    assert page.index("Ben Okafor") < page.index("Ana Reyes")
    for asked, there, gone in (("ana", "Ana Reyes", "Ben Okafor"), ("maple", "Ben Okafor", "Ana Reyes")):
        found = text(ines.get("/teaching/demonstrations/", {"find": asked}))
        assert there in found and gone not in found
    assert "None of this name" in text(ines.get("/teaching/demonstrations/", {"find": "zoe"}))


def test_an_assessor_reads_and_amends_the_own_records_and_no_others(omar):
    own, other = kept(), kept(person="ben", assessor="priya")
    listed = text(omar.get("/teaching/demonstrations/"))
    assert "Ana Reyes" in listed and "Ben Okafor" not in listed
    assert omar.get(f"/teaching/demonstrations/{own.pk}/").status_code == 200
    for page in ("", "amend/"):
        assert omar.get(f"/teaching/demonstrations/{other.pk}/{page}").status_code == 404
    assert omar.post(f"/teaching/demonstrations/{other.pk}/amend/", form(other, ward="X")).status_code == 404
    assert omar.post(f"/teaching/demonstrations/{other.pk}/withdraw/", {"reason": "x"}).status_code == 404
    assert Demonstration.objects.count() == 2


def test_the_second_assessor_reads_a_record_and_does_not_amend_it(book):
    made = kept(second="priya")
    priya = phone_of("priya")
    page = text(priya.get(f"/teaching/demonstrations/{made.pk}/"))
    assert "Ana Reyes: signed off" in page and "Amend this record" not in page
    assert priya.get(f"/teaching/demonstrations/{made.pk}/amend/").status_code == 404


def test_one_record_shows_steps_version_and_what_entitled_the_assessor(ines):
    made = kept(steps=CURVED, taught="straight path, in touch")
    page = text(ines.get(f"/teaching/demonstrations/{made.pk}/"))
    assert "Ana Reyes: not yet" in page and "version 1" in page and "a draft" in page
    assert cast.GROUND in page and "entitled from" in page
    assert page.count("<strong>missed</strong>") == 1


def test_a_record_whose_assessor_has_no_entitlement_any_more_says_so(ines):
    made = kept()
    AssessorStanding.objects.filter(person=who("omar")).update(end=YESTERDAY.date() - timedelta(days=9))
    assert "no entitlement on that day is in the book" in text(
        ines.get(f"/teaching/demonstrations/{made.pk}/")
    )


def test_ines_amends_with_a_reason_and_both_records_can_be_read(ines):
    made = kept(steps=CURVED)
    answer = ines.post(f"/teaching/demonstrations/{made.pk}/amend/", form(made, **{"step-path": "done"}))
    latest = Demonstration.objects.get(amends=made)
    assert answer["Location"] == f"/teaching/demonstrations/{latest.pk}/"
    assert (latest.outcome, latest.time) == ("signed-off", made.time)
    assert Event.objects.get(verb="demonstration-amended").data["changed"] == ["steps"]
    old = text(ines.get(f"/teaching/demonstrations/{made.pk}/"))
    assert "This record was replaced" in old and "Amend this record" not in old
    assert "The line was read wrongly." in text(ines.get(f"/teaching/demonstrations/{latest.pk}/"))
    assert "amended" in text(ines.get("/teaching/demonstrations/"))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"reason": ""}, "This field is required"),
        ({}, "Nothing was changed"),
        ({"assessor": "ben"}, "not entered as an assessor"),
        ({"person": "nobody"}, "Nobody in the book"),
    ],
)
def test_an_amendment_that_cannot_stand_is_said_on_the_form(ines, changes, said):
    made = kept()
    answer = ines.post(f"/teaching/demonstrations/{made.pk}/amend/", form(made, **changes))
    assert answer.status_code == 422 and said in text(answer)
    assert Demonstration.objects.count() == 1


def test_an_assessor_cannot_hand_a_record_to_another_person_or_assessor(omar):
    made = kept()
    wrong = form(made, person="ben", assessor="priya", taught="the lens")
    omar.post(f"/teaching/demonstrations/{made.pk}/amend/", wrong)
    latest = Demonstration.objects.get(amends=made)
    assert (latest.person.identifier, latest.assessor.identifier) == ("ana", "omar")
    assert (latest.taught, latest.actor) == ("the lens", "assessor omar")


def test_a_record_is_withdrawn_with_a_reason(ines):
    made = kept()
    assert ines.post(f"/teaching/demonstrations/{made.pk}/withdraw/", {"reason": ""}).status_code == 422
    answer = ines.post(
        f"/teaching/demonstrations/{made.pk}/withdraw/", {"reason": "Entered twice."}, follow=True
    )
    assert "counts for nothing" in text(answer) and "Entered twice." in text(answer)
    assert "Amend this record" not in text(answer)


def test_who_is_entitled_no_longer_reads_the_own_records_and_changes_none(omar):
    made = kept()
    AssessorStanding.objects.filter(person=who("omar")).update(end=YESTERDAY.date())
    page = text(omar.get(f"/teaching/demonstrations/{made.pk}/"))
    assert "Ana Reyes: signed off" in page and "Amend this record" not in page
    assert omar.get(f"/teaching/demonstrations/{made.pk}/amend/").status_code == 404
    for deed, told in (("amend", form(made, taught="the lens")), ("withdraw", {"reason": "No."})):
        assert omar.post(f"/teaching/demonstrations/{made.pk}/{deed}/", told).status_code == 404
    assert Demonstration.objects.count() == 1


def test_who_is_entitled_no_longer_is_not_told_who_was_observed_by_others(omar):
    made = kept(assessor="priya")
    assert "Ana Reyes" in text(omar.get("/teaching/demonstrations/to-score/"))
    AssessorStanding.objects.filter(person=who("omar")).update(end=YESTERDAY.date())
    assert "Ana Reyes" not in text(omar.get("/teaching/demonstrations/to-score/"))
    assert omar.get(f"/teaching/demonstrations/to-score/{made.pk}/").status_code == 404


@pytest.mark.parametrize("year", ["0001", "9999"])
def test_a_time_of_another_age_is_said_on_the_form(ines, waits, year):
    made = kept(person="ben")
    wrong = f"{year}-01-01T00:00"
    assert ines.post(f"/teaching/demonstrations/{made.pk}/amend/", form(made, time=wrong)).status_code == 422
    take = {"at": wrong, "reason": "The clock."}
    assert ines.post(f"/teaching/demonstrations/waiting/{waits}/take/", take).status_code == 422


def test_a_withdrawn_record_is_not_amended_back_by_an_old_page(ines):
    from browline.services.training.demonstrations.amending import withdraw

    gone = withdraw(kept(), "Entered twice.", actor="educator")
    for deed, told in (("amend", form(gone, taught="the lens")), ("withdraw", {"reason": "Again."})):
        answer = ines.post(f"/teaching/demonstrations/{gone.pk}/{deed}/", told)
        assert answer.status_code == 422 and "This record was withdrawn." in text(answer)
    assert Demonstration.objects.count() == 2


def test_two_records_of_one_day_are_put_before_ines_who_lets_both_stand(ines):
    sign_off = kept(time=YESTERDAY + timedelta(seconds=1), assessor="priya")
    not_yet = kept(steps=CURVED)
    assert "1 record no longer meets the rule of tries" in text(ines.get("/teaching/demonstrations/"))
    page = text(ines.get("/teaching/demonstrations/waiting/"))
    assert "which stands?" in page
    for record_ in (sign_off, not_yet):
        assert f'href="/teaching/demonstrations/{record_.pk}/"' in page
    number = Event.objects.get(verb="demonstration-clash").pk
    both = f"/teaching/demonstrations/waiting/{number}/both-stand/"
    assert ines.post(both, {"reason": ""}).status_code == 422
    answer = text(ines.post(both, {"reason": "Two patients."}, follow=True))
    assert "Both stand." in answer and "which stands?" not in answer
    assert Demonstration.objects.count() == 2


def key_in(page):
    return re.search(r'name="key" value="([0-9a-f-]{36})"', page)[1]


def test_a_score_sent_twice_from_one_form_is_kept_once_and_said_the_same(book):
    made, priya = kept(steps=CURVED), phone_of("priya")
    page = f"/teaching/demonstrations/to-score/{made.pk}/"
    told = {"key": key_in(text(priya.get(page))), **{f"step-{step}": mark for step, mark in WHOLE.items()}}
    assert [priya.post(page, told)["Location"] for _ in range(2)] == [
        "/teaching/demonstrations/to-score/"
    ] * 2
    again = priya.post(page, {**told, "key": key_in(text(priya.get(page)))})
    assert again.status_code == 422 and "here already" in text(again)
    assert SecondScore.objects.count() == 1


def test_a_second_score_is_made_without_seeing_the_first(book):
    made = kept(steps=CURVED)
    priya = phone_of("priya")
    listed = text(priya.get("/teaching/demonstrations/to-score/"))
    empty = text(priya.get(f"/teaching/demonstrations/to-score/{made.pk}/"))
    assert "Ana Reyes" in listed and "ot yet" not in listed
    assert "checked" not in empty and "ot yet" not in empty
    marks = {"key": key_in(empty), **{f"step-{step}": mark for step, mark in WHOLE.items()}}
    priya.post(f"/teaching/demonstrations/to-score/{made.pk}/", marks)
    score = SecondScore.objects.get()
    assert (score.assessor.identifier, score.outcome) == ("priya", "signed-off")
    assert "Ana Reyes" not in text(priya.get("/teaching/demonstrations/to-score/"))


def test_ines_keys_a_second_score_in_and_sees_how_far_they_are_apart(ines):
    made = kept(steps=CURVED)
    key = key_in(text(ines.get(f"/teaching/demonstrations/to-score/{made.pk}/")))
    marks = {"key": key, **{f"step-{step}": mark for step, mark in WHOLE.items()}}
    ines.post(f"/teaching/demonstrations/to-score/{made.pk}/", {**marks, "assessor": "priya"})
    assert "Priya Shah: signed off, 1 step marked otherwise" in text(
        ines.get(f"/teaching/demonstrations/{made.pk}/")
    )


def test_an_assessor_scores_neither_their_own_record_nor_their_own_scan(omar):
    own = kept()
    of_omar = kept(person="omar", assessor="priya")
    for made in (own, of_omar):
        assert omar.get(f"/teaching/demonstrations/to-score/{made.pk}/").status_code == 404


def test_ines_enters_an_assessor_and_ends_it(ines):
    today = timezone.localdate()
    entry = {"person": "Ben Okafor", "start": str(today), "end": "", "qualification": "Ward educator, 2024"}
    page = text(ines.post("/teaching/demonstrations/assessors/", entry, follow=True))
    assert "Ben Okafor (ben) may assess in these days." in page and "never observed" in page
    standing = AssessorStanding.objects.get(person=who("ben"))
    day = {"last_day": str(today)}
    ines.post(f"/teaching/demonstrations/assessors/{standing.pk}/close/", day)
    assert AssessorStanding.objects.get(pk=standing.pk).end == today
    assert ines.post(f"/teaching/demonstrations/assessors/{standing.pk}/close/", day).status_code == 422


def test_ending_it_before_a_record_says_that_the_record_is_left_without(ines):
    kept()
    standing = AssessorStanding.objects.get(person=who("omar"))
    day = {"last_day": str(YESTERDAY.date() - timedelta(days=1))}
    answer = ines.post(f"/teaching/demonstrations/assessors/{standing.pk}/close/", day, follow=True)
    assert "1 record that stands was made on a day without an entitlement now" in text(answer)


@pytest.fixture
def waits(ward):
    """Ben, not entered as an assessor, observed Ana on his phone."""
    from test_observe_page import WHOLE as whole

    from browline.services.materials import documents

    told = {
        "key": "6f1c1e52-7c44-4b8e-9d5e-3f2b6a1d0c11", "checklist": documents.stored("checklist", date(2026, 1, 1)).pk,
        "person": who("ana"), "assessor": who("ben"), "method": "patient", "at": YESTERDAY.isoformat(),
        **{f"step-{step}": mark for step, mark in whole.items()},
    }  # fmt: skip
    receive(told, bearer=who("ben"), actor="assessor ben", now=timezone.now())
    return waiting()[0].pk


def test_what_waits_is_said_on_the_list_and_shown_with_what_to_do(ines, waits):
    assert "1 record from phones waits for you" in text(ines.get("/teaching/demonstrations/"))
    page = text(ines.get("/teaching/demonstrations/waiting/"))
    assert "Ben Okafor is not entered as an assessor" in page and "enter it under Assessors" in page
    assert "Signed off." in page


def test_it_is_taken_with_another_assessor_and_a_reason(ines, waits):
    take = f"/teaching/demonstrations/waiting/{waits}/take/"
    still = ines.post(take, {"assessor": "priya"})
    assert still.status_code == 422 and "No reason was given" in text(still)
    told = {"assessor": "priya", "reason": "Priya watched; Ben held the phone."}
    assert "Taken. Signed off." in text(ines.post(take, told, follow=True))
    assert Demonstration.objects.get().assessor.identifier == "priya"


def test_it_is_put_by_with_a_reason(ines, waits):
    put_by = f"/teaching/demonstrations/waiting/{waits}/put-by/"
    assert ines.post(put_by, {}).status_code == 422
    assert "None." in text(ines.post(put_by, {"reason": "A rehearsal."}, follow=True))


def test_a_waiting_record_that_nobody_can_read_is_still_shown(ines):
    receive({"key": "x", "at": 5, "person": "?"}, bearer=None, actor="educator", now=timezone.now())
    page = text(ines.get("/teaching/demonstrations/waiting/"))
    assert "Its marks cannot be read." in page and "cannot be read" in page


def test_what_waits_and_who_may_assess_is_the_educators(omar, waits):
    for page in ("waiting/", "assessors/"):
        assert omar.get(f"/teaching/demonstrations/{page}").status_code == 403
    assert omar.post(f"/teaching/demonstrations/waiting/{waits}/take/").status_code == 403
