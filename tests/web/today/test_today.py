"""Today, and the page of each finding."""

import io
from datetime import timedelta

import fenwick_vale
import openpyxl
import pytest
from django.utils import timezone


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def reviewed(ines):
    """Larch's export is in and reviewed."""
    fenwick_vale.an_import()
    fenwick_vale.a_review()
    return ines


def test_an_empty_book_says_how_to_begin(ines):
    page = text(ines.get("/"))
    assert "This book is empty" in page
    assert "browline demo" in page and 'href="/readings/"' in page


def test_readings_without_a_review_ask_for_one(ines):
    fenwick_vale.an_import()
    assert "not been reviewed yet" in text(ines.get("/"))


def test_each_thing_to_do_has_reason_evidence_who_and_by_when(reviewed):
    page = text(reviewed.get("/"))
    by = (timezone.localdate() + timedelta(days=7)).strftime("%d %b %Y")
    for said in (
        "2 things to do",
        "FS-07 reads about 0.4 °C low since March.",
        "Bring a spare, tag FS-07, and send it for a check.",
        "you, with the ward that has it",
        by,
        "−0.42 °C (−0.76 °F)",
        "−0.55 to −0.30 °C",
        "extremely likely (97 in 100)",
        "1,234",
        "02 Mar 2026",
    ):
        assert said in page, said


def test_what_the_book_cannot_know_is_said(reviewed):
    page = text(reviewed.get("/"))
    assert "The whole fleet may be off" in page
    assert "Who was trained" in page


def test_fahrenheit_first_where_she_chose_it(reviewed):
    from browline.services.book.change_preference import set_choice

    set_choice("show_unit", "F", "ines")
    assert "−0.76 °F (−0.42 °C)" in text(reviewed.get("/"))


def test_how_often_a_flag_was_right(reviewed):
    assert "none has been checked yet" in text(reviewed.get("/"))
    reviewed.post("/findings/1/outcome/", {"code": "unit-changed", "note": ""})
    assert "Of 1 flagged, 1 confirmed on check." in text(reviewed.get("/"))


def test_new_still_there_gone_and_closed_stand_apart(ines):
    from browline.store.models import Finding

    fenwick_vale.an_import()
    review = fenwick_vale.a_review()
    for name, state in (("FS-20", "still there"), ("FS-21", "gone"), ("FS-22", "closed")):
        data = {
            **fenwick_vale.FS07,
            "subject": {"type": "instrument", "id": name},
            "sentence": f"{name} reads low.",
        }
        fenwick_vale.a_finding(review, data, state=state)
    page = text(ines.get("/"))
    to_do, put_by = page.split("No longer seen")
    assert "FS-20 reads low." in to_do and "still there" in to_do
    assert "FS-21" not in to_do and "FS-22" not in to_do
    assert put_by.index("FS-21") < put_by.index("Closed") < put_by.index("FS-22")
    assert Finding.objects.count() == 5


def test_an_old_errand_is_overdue(reviewed):
    from browline.store.models import Review

    Review.objects.update(at=timezone.now() - timedelta(days=30))
    assert "overdue" in text(reviewed.get("/"))


def test_newer_files_ask_for_a_new_review(reviewed):
    fenwick_vale.an_import(digest="another")
    assert "1 file came in since then" in text(reviewed.get("/"))


def test_a_finding_opens_to_its_causes_and_next_step(reviewed):
    page = text(reviewed.get("/findings/1/"))
    for said in (
        "A dirty lens",
        "Clean the lens and scan five well people again.",
        "the other thermometers on Larch",
        "it never fails an instrument",
        "No patient or staff names; may be disclosed.",
    ):
        assert said in page, said


def test_a_finding_that_is_not_there(reviewed):
    assert reviewed.get("/findings/99/").status_code == 404


def test_an_outcome_is_entered_with_its_actor(reviewed):
    from browline.store.models import Finding, Outcome

    answer = reviewed.post(
        "/findings/1/outcome/", {"code": "replaced", "note": "spare from Maple"}, follow=True
    )
    assert "spare from Maple" in text(answer) and "replaced" in text(answer)
    assert Outcome.objects.get().actor == "educator"
    assert Finding.objects.get(pk=1).state == "closed"


def test_an_outcome_outside_the_list_is_refused(reviewed):
    from browline.store.models import Outcome

    assert reviewed.post("/findings/1/outcome/", {"code": "thrown away"}).status_code == 422
    assert not Outcome.objects.exists()


def test_a_note_is_shown_as_text(reviewed):
    reviewed.post("/findings/1/outcome/", {"code": "replaced", "note": "<script>x</script>"})
    assert "<script>x" not in text(reviewed.get("/findings/1/"))


def test_a_ward_is_offered_what_may_come_of_asking_it(reviewed):
    from browline.store.models import Finding

    page = text(reviewed.get("/findings/2/"))
    for offered in ("no fault found: the ward explained it", "charting form changed", "instruments brought"):
        assert offered in page, offered
    for of_an_instrument in ("lens cleaned", "within limits", "mode changed", "unit changed"):
        assert of_an_instrument not in page, of_an_instrument
    assert "instruments brought" not in text(reviewed.get("/findings/1/"))
    reviewed.post("/findings/2/outcome/", {"code": "instruments-brought", "note": ""})
    assert Finding.objects.get(pk=2).state == "new"
    assert "after the next export" in text(reviewed.get("/findings/2/"))
    reviewed.post("/findings/2/outcome/", {"code": "form-changed", "note": ""})
    assert Finding.objects.get(pk=2).state == "closed"


def test_where_only_the_audit_ran_its_readings_are_told(ines, monkeypatch):
    readings = fenwick_vale.RESULT["readings"] | {"used": 0}
    monkeypatch.setattr(fenwick_vale, "RESULT", fenwick_vale.RESULT | {"readings": readings})
    fenwick_vale.an_import()
    fenwick_vale.a_review()
    assert "7,266 readings audited, none compared" in text(ines.get("/"))


def test_with_too_few_readings_to_tell_anything_nothing_is_reassured(ines, monkeypatch):
    import invented_wards as told

    few = told.supplement(told.a_ward("A", of=told.weeks([1], n=19), quiet=False))
    monkeypatch.setattr(fenwick_vale, "SUPPLEMENT", fenwick_vale.SUPPLEMENT | few)
    fenwick_vale.an_import()
    from browline.store.models import Finding

    fenwick_vale.a_review()
    Finding.objects.all().delete()
    page = text(ines.get("/"))
    assert (
        "Too few readings to tell (19 on 1 ward); this says nothing" in page and "Nothing to do" not in page
    )


def test_the_look_back_list_is_the_files_row_numbers(reviewed, monkeypatch):
    from datetime import date

    from browline.services.review import look_back

    found = look_back.LookBack(date(2026, 3, 2), 3, (("CSV 3fa2c1", (12, 40, 41)),))
    monkeypatch.setattr(look_back, "look_back", lambda book, finding: found)
    assert "12, 40, 41" in text(reviewed.get("/findings/1/"))
    answer = reviewed.get("/findings/1/look-back.xlsx")
    sheet = openpyxl.load_workbook(io.BytesIO(answer.content)).active
    assert [row[2] for row in sheet.iter_rows(min_row=2, values_only=True)] == [12, 40, 41]


def test_a_review_is_started_as_a_job(reviewed, monkeypatch):
    from browline.services.book import jobs
    from browline.store.models import Job

    asked = {}

    def start(book, verb, arguments, fds=()):
        asked.update(verb=verb, **arguments)
        return Job.objects.create(verb=verb, arguments=arguments)

    monkeypatch.setattr(jobs, "start", start)
    answer = reviewed.post("/review/", {"people": "on"})
    assert answer["Location"] == "/under-way/1/"
    assert asked == {"verb": "review", "people": True, "actor": "educator"}
    reviewed.post("/review/", {})
    assert asked["people"] is False


class TestPeople:
    """Results about people: for help, never ranking."""

    @pytest.fixture
    def with_people(self, ines):
        fenwick_vale.an_import()
        fenwick_vale.a_review(fenwick_vale.FS07, fenwick_vale.PERSON, people=True)
        return ines

    def test_they_are_not_on_today_unless_asked_for(self, with_people):
        page = text(with_people.get("/"))
        assert "00417" not in page
        assert "Show whom to offer help" in page

    def test_asked_for_they_open_with_the_offer_and_the_warning(self, with_people):
        page = text(with_people.get("/?people=1"))
        assert (
            page.index("Offer an observed return demonstration.")
            < page.index("shared log-in")
            < page.index("00417")
        )

    def test_a_persons_page_opens_the_same_way(self, with_people):
        page = text(with_people.get("/findings/2/?people=1"))
        assert (
            page.index("Offer an observed return demonstration.")
            < page.index("shared log-in")
            < page.index("00417 run low")
        )

    def test_a_persons_page_is_not_there_unless_asked_for(self, with_people):
        assert with_people.get("/findings/2/").status_code == 404

    def test_nor_when_the_last_review_left_people_out(self, with_people):
        fenwick_vale.Review.objects.create(
            result=fenwick_vale.RESULT, options={"people": False}, version="0.1.0"
        )
        assert with_people.get("/findings/2/?people=1").status_code == 404
        assert "00417" not in text(with_people.get("/?people=1"))

    def test_nor_where_the_file_does_not_look_like_peoples(self, with_people):
        said = "Look at the file: 12 of the 30 people who charted lie more than 1 °C from the others."
        fenwick_vale.Review.objects.create(
            result=fenwick_vale.RESULT
            | {"people": [], "people_not_listed": {"beyond": 12, "of": 30, "sentence": said}},
            options={"people": True},
            version="0.1.0",
        )
        page = text(with_people.get("/?people=1"))
        assert said in page and "00417" not in page
        assert "Show whom to offer help" not in text(with_people.get("/"))
        assert with_people.get("/findings/2/?people=1").status_code == 404

    def test_small_numbers_are_withheld(self, with_people):
        from browline.store.models import Finding

        Finding.objects.filter(pk=2).update(data={**fenwick_vale.PERSON, "n": 9})
        assert "00417" not in text(with_people.get("/?people=1"))
        assert with_people.get("/findings/2/?people=1").status_code == 404


@pytest.mark.parametrize(
    "address", ["/", "/findings/1/", "/readings/", "/instruments/", "/reports/", "/reports/request/"]
)
def test_the_usual_caution_is_on_every_page(reviewed, address):
    page = text(reviewed.get(address))
    assert "It does not diagnose" in page
    assert "a patient who looks ill is escalated whatever the number says" in page
