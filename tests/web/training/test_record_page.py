"""One person's record: the educator sees each, everybody else their own and no other."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

import larch_at_night as cast


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def staff(book, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda *_: cast.TODAY)
    return cast.a_night()


@pytest.fixture
def bearer(staff):
    from browline.services.book.access_links import issue

    def hold(role, person=None):
        token = issue(role, person=person, until=timezone.now() + timedelta(hours=2), actor="ines")
        made = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        made.get(f"/in/pass/{token}/")
        return made

    return hold


def test_the_educator_reads_a_record(ines, staff):
    page = text(ines.get(f"/record/{staff['Dee'].pk}/"))
    for said in (
        "Not yet, at the observation of 20 Feb 2026: clean lens to be seen again.",
        "Observed by Bo Hale, senior nurse. Entitled on that day: teaches the skill since 2020",
        "Practised: looked at lenses together",
        "Missed</span>: clean lens",
        "No observation after that of 20 Feb 2026 is on record.",
        "version 1, DRAFT",
    ):
        assert said in page, said


@pytest.mark.parametrize("role", ["person", "assessor"])
def test_everybody_sees_their_own_record_and_no_other(bearer, staff, role):
    ana = bearer(role, staff["Ana"])
    page = text(ana.get("/record/"))
    assert "Ana Reed" in page and "Signed off until 05 Jan 2027." in page
    for name, person in staff.items():
        assert ana.get(f"/record/{person.pk}/").status_code == 403, name
        assert ana.get(f"/record/{person.pk}/file.pdf").status_code == 403, name


def test_nothing_in_the_address_changes_whose_record_it_is(bearer, staff):
    ana = bearer("person", staff["Ana"])
    for asked in (f"?person={staff['Dee'].pk}", f"?who={staff['Dee'].identifier}"):
        page = text(ana.get(f"/record/{asked}"))
        assert "Ana Reed" in page and "Dee Frost" not in page


def test_a_viewer_sees_no_record(bearer, staff):
    viewer = bearer("viewer")
    for address in ("/record/", "/record/file.pdf", f"/record/{staff['Ana'].pk}/"):
        assert viewer.get(address).status_code == 403


def test_a_pass_taken_back_opens_nothing(bearer, staff):
    from browline.services.book.access_links import revoke
    from browline.store.models import Pass

    ana = bearer("person", staff["Ana"])
    revoke(Pass.objects.get().pk, "ines")
    assert ana.get("/record/").status_code == 403


def test_the_own_record_on_paper(bearer, staff):
    answer = bearer("person", staff["Ana"]).get("/record/file.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert "record of Ana Reed" in PdfReader(BytesIO(answer.content)).pages[0].extract_text()


def test_the_educator_looks_for_a_record(ines, staff):
    assert "Dee Frost" in text(ines.get("/record/?who=frost"))
    assert "Dee Frost" in text(ines.get("/record/?who=s04"))
    assert "Nobody in the book is called so." in text(ines.get("/record/?who=zz"))
    assert ines.get("/record/999/").status_code == 404


def test_repeated_attempts_are_read_as_a_curve(ines, staff):
    cem = staff["Cem"]
    for day in range(12):
        cast.demonstration(cem, staff["Bo"], cast.at(cast.TODAY - timedelta(days=40 - day)))
    page = text(ines.get(f"/record/{cem.pk}/"))
    assert "Shown at try 10." in page
    for day in range(12, 22):
        cast.demonstration(cem, staff["Bo"], cast.at(cast.TODAY - timedelta(days=40 - day)))
    assert "The 20 tries intended are behind: shown at try 10." in text(ines.get(f"/record/{cem.pk}/"))
    assert "What repeated tries show" not in text(ines.get(f"/record/{staff['Ana'].pk}/"))


def test_what_is_typed_into_a_record_never_becomes_markup(ines, staff):
    from browline.store.models import Person

    Person.objects.filter(pk=staff["Cem"].pk).update(name="<b>Cem</b>")
    page = ines.get(f"/record/{staff['Cem'].pk}/").content.decode()
    assert "&lt;b&gt;Cem" in page and "<b>Cem" not in page
