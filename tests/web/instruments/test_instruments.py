"""The register, and each instrument's page."""

import fenwick_vale
import pytest


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def fleet(ines):
    """FS-07, reviewed and found to read low, and FS-08."""
    fenwick_vale.a_register()
    fenwick_vale.an_import()
    fenwick_vale.a_review()
    return ines


CHECK = {
    "time": "2026-03-09T08:15",
    "reference": "37.00",
    "shown": "36.55",
    "unit": "C",
    "mode": "",
    "result": "low",
}


def test_no_instrument_yet(ines):
    assert "No instrument is known yet" in text(ines.get("/instruments/"))


def test_the_register_with_what_the_review_says(fleet):
    page = text(fleet.get("/instruments/"))
    for said in (
        "FS-07",
        "−0.42 °C (−0.76 °F)",
        "−0.55 to −0.30 °C",
        "02 Mar 2026",
        "01 Feb 2026 09:00",
        "1,234",
    ):
        assert said in page, said
    assert "If the whole fleet is off, charts cannot show it" in page


def test_since_when_is_said_only_of_those_found_to_be_off(fleet):
    from browline.store.models import Finding

    assert "02 Mar 2026" in text(fleet.get("/instruments/1/"))
    Finding.objects.update(state="gone")
    assert "02 Mar 2026" not in text(fleet.get("/instruments/1/"))
    assert "02 Mar 2026" not in text(fleet.get("/instruments/"))


def test_one_seen_only_in_charts_is_said_to_be(fleet):
    assert "not in the register" in text(fleet.get("/instruments/")).split("FS-08")[1]


def test_the_surest_to_be_off_stands_first(fleet):
    from browline.store.models import Instrument

    Instrument.objects.filter(name="FS-08").update(name="FS-01")
    page = text(fleet.get("/instruments/"))
    assert page.index("FS-07") < page.index("FS-01")


def test_an_instruments_page_leads_to_its_findings(fleet):
    page = text(fleet.get("/instruments/1/"))
    assert 'href="/findings/1/"' in page
    assert "01 Feb 2026 09:00, lens" in page


def test_an_instrument_that_is_not_there(fleet):
    assert fleet.get("/instruments/99/").status_code == 404


def test_a_check_is_entered(fleet):
    from browline.store.models import Check

    page = text(fleet.post("/instruments/1/check/", CHECK, follow=True))
    assert "The check was entered." in page
    assert "−0.45 °C (−0.81 °F)" in page
    assert Check.objects.get().instrument.name == "FS-07"


def test_a_check_in_fahrenheit_is_kept_in_celsius(fleet):
    from browline.store.models import Check

    fleet.post("/instruments/1/check/", CHECK | {"unit": "F", "reference": "98.6", "shown": "97.7"})
    assert Check.objects.get().reference == pytest.approx(37.0)
    assert Check.objects.get().shown == pytest.approx(36.5)


def test_a_checks_time_is_the_wards_time(fleet):
    from datetime import UTC, datetime

    from browline.services.book.change_preference import set_choice
    from browline.store.models import Check

    set_choice("zone", "America/Chicago", "ines")
    fleet.post("/instruments/1/check/", CHECK | {"time": "2026-07-09T08:15"})
    assert Check.objects.get().time == datetime(2026, 7, 9, 13, 15, tzinfo=UTC)
    assert "09 Jul 2026 08:15" in text(fleet.get("/instruments/1/"))


@pytest.mark.parametrize("time", ["9999-12-31T23:59", "0001-01-01T00:00"])
def test_a_check_of_another_age_is_refused(fleet, time):
    refused = fleet.post("/instruments/1/check/", CHECK | {"time": time})
    assert refused.status_code == 422 and "is not meant" in text(refused)
    assert fleet.get("/instruments/").status_code == 200


def test_half_a_check_is_refused(fleet):
    from browline.store.models import Check

    answer = fleet.post("/instruments/1/check/", CHECK | {"shown": ""})
    assert answer.status_code == 422 and "This field is required." in text(answer)
    assert not Check.objects.exists()


def test_a_check_nobody_could_have_made_is_refused(fleet):
    assert fleet.post("/instruments/1/check/", CHECK | {"shown": "366"}).status_code == 422


def test_the_registers_entry_is_changed(fleet):
    entry = {"unit": "C", "mode": "core", "kind": "forehead-scan", "model": "Model A", "ward": "Maple"}
    assert "Maple" in text(fleet.post("/instruments/1/edit/", entry, follow=True))


def test_an_unknown_mode_is_refused(fleet):
    assert fleet.post("/instruments/1/edit/", {"mode": "guess"}).status_code == 422
