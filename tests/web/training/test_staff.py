"""The staff list: nobody twice, nobody deleted, absences with a reason."""

import pytest

NEW = {"identifier": "00417", "name": "Omar Fennick", "role": "Registered nurse", "ward": "Larch"}


def _omar():
    from browline.store.models import Person

    return Person.objects.get(identifier="00417")


def test_ines_adds_somebody(ines):
    assert ines.post("/teaching/staff/", NEW).status_code == 302
    assert (_omar().name, _omar().ward, _omar().listed) == ("Omar Fennick", "Larch", True)
    assert "Omar Fennick" in ines.get("/teaching/staff/?ward=Larch").content.decode()


def test_the_same_identifier_is_one_person(ines):
    from browline.store.models import Person

    ines.post("/teaching/staff/", NEW)
    answer = ines.post("/teaching/staff/", {**NEW, "name": "Somebody Else"})
    assert answer.status_code == 422 and "on the list already" in answer.content.decode()
    assert Person.objects.count() == 1 and _omar().name == "Omar Fennick"


def test_somebody_seen_in_charts_is_put_on_the_list_under_the_pseudonym_readings_know(ines, book):
    from browline.store.keys import pseudonym, read_key
    from browline.store.models import Person

    known = pseudonym(read_key(book.identity), "person", "00417")
    Person.objects.create(identifier="00417", pseudonym=known, listed=False)
    assert "not on the list" in ines.get("/teaching/staff/").content.decode()
    ines.post("/teaching/staff/", NEW)
    assert (_omar().pseudonym, _omar().listed) == (known, True)


def test_somebody_new_gets_the_pseudonym_that_readings_will_have(ines, book):
    from browline.store.keys import pseudonym, read_key

    ines.post("/teaching/staff/", NEW)
    assert _omar().pseudonym == pseudonym(read_key(book.identity), "person", "00417")


def test_ines_changes_an_entry(ines):
    ines.post("/teaching/staff/", NEW)
    ines.post(f"/teaching/staff/{_omar().pk}/", {"name": "Omar Fennick", "ward": "Maple", "role": "Sister"})
    assert (_omar().ward, _omar().role) == ("Maple", "Sister")


@pytest.mark.parametrize(
    "dates", [{"start": "2026-03-02", "end": "2026-03-01"}, {"start": "", "end": ""}], ids=["order", "none"]
)
def test_an_absence_that_makes_no_sense_is_not_entered(ines, dates):
    ines.post("/teaching/staff/", NEW)
    answer = ines.post(f"/teaching/staff/{_omar().pk}/away/", {"reason": "long-leave", **dates})
    assert answer.status_code == 422 and not _omar().absences.exists()


def test_ines_says_who_is_away_and_when_they_are_back(ines):
    from browline.store.models import Event

    ines.post("/teaching/staff/", NEW)
    ines.post(f"/teaching/staff/{_omar().pk}/away/", {"reason": "long-leave", "start": "2026-03-02"})
    absence = _omar().absences.get()
    ines.post(f"/teaching/staff/{_omar().pk}/back/{absence.pk}/", {"end": "2026-03-01"})
    assert _omar().absences.get().end is None
    ines.post(f"/teaching/staff/{_omar().pk}/back/{absence.pk}/", {"end": "2026-05-31"})
    assert str(_omar().absences.get().end) == "2026-05-31"
    assert set(Event.objects.values_list("verb", flat=True)) >= {"staff-added", "away", "back"}
