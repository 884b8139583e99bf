"""Who can do it: on duty, by ward and shift and role, due, and champions; and who may see which of it."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.test import Client
from django.utils import timezone
from openpyxl import load_workbook

import larch_at_night as cast

TONIGHT = "/teaching/who-can-do-it/?at=2026-03-02T23:00"
DUE = "/teaching/who-can-do-it/due/"


def text(answer):
    return " ".join(answer.content.decode().split())


def cells_of(answer):
    (sheet,) = load_workbook(BytesIO(answer.content)).worksheets
    return [tuple(cell.value for cell in row) for row in sheet.iter_rows()]


@pytest.fixture
def staff(book, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda *_: cast.TODAY)
    return cast.a_night()


@pytest.fixture
def bearer(staff):
    """A browser that holds a pass for a role."""
    from browline.services.book.access_links import issue

    def hold(role, person=None):
        token = issue(role, person=person, until=timezone.now() + timedelta(hours=2), actor="ines")
        made = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
        made.get(f"/in/pass/{token}/")
        return made

    return hold


def test_the_educator_sees_who_on_duty_is_not_signed_off(ines, staff):
    page = text(ines.get(TONIGHT))
    for said in (
        "3 of 6 on duty are not signed off.",
        "Eligible: 6, of whom 3 are signed off.",
        "Excluded: 1 (1 on long leave).",
        "Never observed. At a session on 01 Feb 2026; being there alone is no sign-off.",
        "Not yet, at the observation of 20 Feb 2026: clean lens to be seen again.",
        "Eve Lund: on the roster, on no staff list and never observed",
        "Gil Stone: on long leave",
        "2 of 4 (50 %)",
        "15 to 85 %",
    ):
        assert said in page, said
    assert f'href="/record/{staff["Cem"].pk}/"' in page


def test_another_moment_and_one_that_is_none(ines, staff):
    noon = text(ines.get("/teaching/who-can-do-it/?at=2026-03-02T12:00"))
    assert "The roster has nobody on duty then" in noon
    wrong = ines.get("/teaching/who-can-do-it/?at=soon")
    assert wrong.status_code == 422 and "Enter a valid date/time." in text(wrong)


@pytest.mark.parametrize("at", ["9999-12-31T23:59", "0001-01-01T00:00", "2199-01-01T00:00"])
def test_a_moment_far_away_is_refused_in_words(ines, staff, at):
    for address in ("", "on-duty.xlsx"):
        far = ines.get(f"/teaching/who-can-do-it/{address}?at={at}")
        assert far.status_code == 422 and "is not meant: write one from 1990 to 2100." in text(far)


def test_a_champion_of_another_age_is_refused(ines, staff):
    told = {"person": "S02", "ward": "Larch", "start": "9999-12-31"}
    assert ines.post("/teaching/who-can-do-it/champions/enter/", told).status_code == 422
    ines.post("/teaching/who-can-do-it/champions/enter/", {**told, "start": "2026-01-01"})
    from browline.store.models import Champion

    ines.post(
        f"/teaching/who-can-do-it/champions/{Champion.objects.get().pk}/end/", {"last_day": "0001-01-01"}
    )
    assert Champion.objects.get().end is None


def test_the_cell_with_most_left_to_see_stands_first(ines, staff):
    page = text(ines.get(TONIGHT)).split("Most left to see first")[1]
    assert page.index("care assistant") < page.index("senior nurse")


def test_an_assessor_sees_names_of_those_on_duty_and_no_more(bearer, staff):
    bo = bearer("assessor", staff["Bo"])
    page = text(bo.get(TONIGHT))
    assert "Cem Oak" in page and "/record/" + str(staff["Cem"].pk) not in page and "Champions" not in page
    assert "Cem Oak" in str(cells_of(bo.get("/teaching/who-can-do-it/on-duty.xlsx?at=2026-03-02T23:00")))
    for address in (
        DUE,
        "/teaching/who-can-do-it/due.xlsx",
        "/teaching/who-can-do-it/champions/",
        "/teaching/agreement/",
    ):
        assert bo.get(address).status_code == 403, address


def test_an_assessor_whose_entitlement_has_ended_sees_cells_as_a_viewer_does(bearer, staff):
    from browline.store.models import AssessorStanding

    bo, viewer = bearer("assessor", staff["Bo"]), bearer("viewer")
    assert "Cem Oak" in text(bo.get(TONIGHT))
    AssessorStanding.objects.update(end=cast.TODAY - timedelta(days=1))
    told = text(bo.get(TONIGHT)) + str(cells_of(bo.get("/teaching/who-can-do-it/cells.xlsx")))
    assert "Cem Oak" not in told and "too few people to show" in told
    assert cells_of(bo.get("/teaching/who-can-do-it/cells.xlsx")) == cells_of(
        viewer.get("/teaching/who-can-do-it/cells.xlsx")
    )
    assert bo.get("/teaching/who-can-do-it/on-duty.xlsx").status_code == 403


def test_a_viewer_sees_no_names_and_no_small_numbers(bearer, staff):
    viewer = bearer("viewer")
    answers = [viewer.get(TONIGHT), viewer.get("/teaching/who-can-do-it/cells.xlsx")]
    told = text(answers[0]) + str(cells_of(answers[1]))
    for person in staff.values():
        assert person.name not in told and person.identifier not in told
    assert told.count("too few people to show") == 6
    for small in ("Eligible", "Excluded", "of 4", "long leave"):
        assert small not in told, small


def test_a_viewer_cannot_choose_the_moment_and_so_tell_one_person_by_difference(bearer, staff):
    viewer = bearer("viewer")
    other = viewer.get("/teaching/who-can-do-it/?at=2026-03-03T12:00")
    assert text(viewer.get(TONIGHT)) == text(other)
    assert viewer.get("/teaching/who-can-do-it/on-duty.xlsx").status_code == 403


def test_a_viewer_sees_a_cell_that_is_not_small(bearer, staff):
    from browline.store.models import Person

    for number in range(20, 32):
        person = Person.objects.create(identifier=f"M{number}", pseudonym=number, role="nurse", ward="Maple")
        cast.on_duty(person, ward="Maple")
        if number < 26:
            cast.demonstration(person, staff["Bo"], cast.at(cast.TODAY - timedelta(days=30)))
    page = text(bearer("viewer").get("/teaching/who-can-do-it/"))
    assert "6 of 12 signed off" in page


def test_somebody_with_a_pass_to_the_own_record_sees_no_coverage(bearer, staff):
    assert bearer("person", staff["Cem"]).get(TONIGHT).status_code == 403


@pytest.mark.parametrize("name", ["on-duty.xlsx?at=2026-03-02T23:00", "cells.xlsx", "due.xlsx"])
def test_no_cell_of_a_list_runs_anything(ines, staff, name):
    from browline.store.models import Person

    Person.objects.filter(pk=staff["Dee"].pk).update(name="=HYPERLINK(1)", role="+1")
    rows = cells_of(ines.get(f"/teaching/who-can-do-it/{name}"))
    assert any("'=HYPERLINK(1)" in row or "'+1" in row for row in rows)
    assert not any(str(cell).startswith(("=", "+")) for row in rows for cell in row)


def test_who_is_due_is_only_read(ines, staff):
    assert ines.post(DUE).status_code == 405


def test_who_is_due_with_the_reasons(ines, staff):
    page = text(ines.get(DUE))
    assert "A sign-off holds for 12 months" in page
    again = page.split("Whom to see again first")[1]
    assert "Not yet on 20 Feb 2026: clean lens." in again
    assert "As soon as they and an assessor are on duty together." in again
    assert "Away on the roster" not in page
    assert again.index("Dee Frost") < again.index("Ida Birch")
    assert "Cem Oak" not in again, "the never observed have nothing to refresh"


def test_somebody_away_all_through_the_coming_weeks_is_said_to_be(ines, staff):
    """Dee is due and on leave from tomorrow on; one turn of duty in these weeks, and nothing is said."""
    from browline.store.models import Shift

    dee, tomorrow = staff["Dee"], cast.TODAY + timedelta(days=1)
    Shift.objects.filter(person=dee).delete()
    for number in range(20):
        Shift.objects.create(person=dee, date=tomorrow + timedelta(days=number), code="AL", kind="leave")
    said = "Away on the roster until 22 Mar 2026, with no turn of duty before."
    assert text(ines.get(DUE)).count(said) == 2
    (row,) = [r for r in cells_of(ines.get("/teaching/who-can-do-it/due.xlsx")) if r[0] == "Dee Frost"]
    assert "22 Mar 2026" in row
    cast.on_duty(dee, day=tomorrow + timedelta(days=25))
    assert "Away on the roster" not in text(ines.get(DUE))


def test_a_champion_is_entered_and_ended(ines, staff):
    address = "/teaching/who-can-do-it/champions/"
    assert "Larch, night shift: 9 people work there" in text(ines.get(address))
    asked = {"person": "Ana Reed", "ward": "Larch", "start": "2026-03-01"}
    page = text(ines.post(f"{address}enter/", asked, follow=True))
    assert "The champion was entered." in page and "Larch, night shift: 9" not in page
    from browline.store.models import Champion

    number = Champion.objects.get().pk
    assert "No last day was given" in text(ines.post(f"{address}{number}/end/", {}, follow=True))
    ines.post(f"{address}{number}/end/", {"last_day": "2026-03-01"})
    assert Champion.objects.get().end.isoformat() == "2026-03-01"


def test_a_champion_nobody_knows_is_refused(ines, staff):
    asked = {"person": "Nobody", "ward": "Larch", "start": "2026-03-01"}
    answer = ines.post("/teaching/who-can-do-it/champions/enter/", asked)
    assert answer.status_code == 422 and "Nobody on the staff list is called so." in text(answer)


def test_an_empty_book(ines):
    page = text(ines.get("/teaching/who-can-do-it/"))
    assert "Nobody to count yet." in page
    assert "Nobody who was observed is due" in text(ines.get(DUE))


@pytest.mark.browser
def test_the_pages_in_a_real_browser_wide_and_on_a_phone(book, monkeypatch):
    """Axe finds nothing, nothing is wider than the window, and the console stays silent."""
    from browsing import Tab, browser, served

    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    staff = cast.a_night()
    cast.scored_again(staff["Ana"].demonstrations.get(), staff["Ida"], cast.NO_LENS)
    addresses = (
        TONIGHT,
        DUE,
        "/teaching/who-can-do-it/champions/",
        "/teaching/agreement/?people=1",
        "/record/",
    )
    with browser() as opened, served() as port:
        for width in (1280, 360):
            tab = Tab(opened, port, viewport={"width": width, "height": 800})
            tab.come_in()
            for address in (*addresses, f"/record/{staff['Dee'].pk}/", f"/record/{staff['Fay'].pk}/"):
                assert tab.go(address).status == 200
                assert (tab.overflow(), tab.violations(), tab.complaints) == (0, [], []), address
            tab.close()
