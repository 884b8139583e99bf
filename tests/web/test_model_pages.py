"""What the joint model found, on the pages: sites, drift between cleanings, why, the readings behind it, training."""

from copy import deepcopy
from datetime import UTC, datetime, timedelta

import fenwick_vale
import pytest

import invented_model

DRIFT = {
    **fenwick_vale.FS07,
    "kind": "instrument-drift",
    "effect": -0.9,
    "low": -1.08,
    "high": -0.72,
    "since": None,
    "sentence": "Instrument FS-07 sinks by 0.90 °C over 18 days.",
    "comparator": "itself on the day its lens was cleaned",
}


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def modelled(ines):
    """Larch's review with a joint model; FS-07 reads low and sinks between cleanings."""
    fenwick_vale.a_register()
    fenwick_vale.an_import()
    review = fenwick_vale.a_review(fenwick_vale.FS07, fenwick_vale.LARCH, DRIFT)
    result = deepcopy(fenwick_vale.RESULT) | {
        "reference_site": "bladder",
        "sites": invented_model.sites(),
        "training": invented_model.training(),
    }
    result["instruments"][0] |= {"drift_c_per_day": -0.05, "drift_low": -0.06, "drift_high": -0.04}
    review.result = result
    review.supplement = {**fenwick_vale.SUPPLEMENT, "model": invented_model.model()}
    review.save()
    return ines


def test_sites_stand_at_37_with_interval_slope_and_quick_pairs(modelled):
    page = text(modelled.get("/sites/"))
    for said in (
        "Against bladder in the same stays, at 37.0 °C",
        "−0.29 °C",
        "−0.35 to −0.24 °C",
        "−0.41 °C",
        "−0.45 to −0.38 °C, 640 pairs",
        "<strong>differ</strong>",
        "likely range 0.84 to 0.91",
        "taken as one for one",
        "The average reading is −0.29 °C off, a typical one only −0.15 °C",
    ):
        assert said in page, said


def test_what_speaks_against_the_pairs_is_said_with_advice(modelled):
    page = text(modelled.get("/sites/"))
    assert "Patients read again were later higher." in page
    assert "Plan pairs taken in every patient of a round." in page
    assert "No sign of it." not in page


def test_how_the_pairs_move_where_first_readings_were_not_charted(modelled):
    page = text(modelled.get("/sites/")).split("If first readings were not charted")[1]
    assert "at 37.1 °C" in page
    for share, offset, low in (("0 in 100", "−0.41", "−0.45"), ("40 in 100", "−0.53", "−0.57")):
        assert share in page
        assert f"{offset} °C<br>" in page
        assert low in page


def test_sites_say_so_before_any_review(ines):
    assert "No site has been compared yet" in text(ines.get("/sites/"))


def test_an_instrument_names_its_comparator_and_its_drift_with_interval(modelled):
    # 18 days at -0.05 (-0.06 to -0.04) °C a day.
    for page in (text(modelled.get("/instruments/")), text(modelled.get("/instruments/1/"))):
        assert "sinks 0.90 °C in 18 days" in page
        assert "−1.08 to −0.72 °C" in page
        assert "the other thermometers" in page
    page = text(modelled.get("/instruments/1/"))
    assert "itself on the day its lens was cleaned" in page
    assert "+0.20 °C (+0.10 to +0.30 °C)" in page  # 0.2 ± 1.96 · 0.05
    assert "a typical one only −0.20 °C" in page
    assert "cannot be told: too few readings with a known cleaning" in text(modelled.get("/instruments/2/"))


def test_a_finding_says_why_against_what_and_what_it_cannot_be_told_from(modelled):
    page = text(modelled.get("/findings/1/"))
    for said in (
        "1,234 readings since 02 Mar 2026 were set against the other thermometers on Larch",
        "they differ by −0.42 °C at 37.0 °C (95 % interval −0.55 to −0.30 °C)",
        "a typical one only −0.20 °C",
        "It cannot be told from ward Larch. To tell: swap instruments with another ward for a week",
        "whole fleet shares cannot be seen in charts",
        "A dirty lens</strong>, 70 in 100",
    ):
        assert said in page, said


def test_a_drift_finding_says_over_how_many_days(modelled):
    page = text(modelled.get("/findings/3/"))
    assert "they change by −0.90 °C over 18 days (95 % interval −1.08 to −0.72 °C)" in page


def test_a_finding_of_the_audit_is_not_explained_by_the_model(modelled):
    page = text(modelled.get("/findings/2/"))
    assert "Why this was found" not in page
    assert "Open the readings behind it" not in page
    assert modelled.get("/findings/2/readings/").status_code == 404


def test_today_names_the_comparator_beside_the_interval(modelled):
    assert "likely range −0.55 to −0.30 °C, against the other thermometers on Larch" in text(
        modelled.get("/")
    )


@pytest.fixture
def charted(modelled, book, tmp_path):
    """Sixty readings by FS-07 an hour apart from 1 February on, and one by FS-08."""
    from browline.services.imports.run import import_file

    first = datetime(2026, 2, 28, 22, tzinfo=UTC)
    times = [first + timedelta(hours=k) for k in range(60)]
    lines = [f"V{k},{t:%Y-%m-%d %H:%M},{36 + k / 100:.1f},FS-07,Larch" for k, t in enumerate(times)]
    lines.append("V99,2026-03-03 10:00,39.9,FS-08,Larch")
    path = tmp_path / "export.csv"
    path.write_text("stay,time,temp,instrument,ward\n" + "\n".join(lines) + "\n")
    import_file(book, path)
    return modelled


def test_the_readings_behind_a_drift_open_newest_first(charted):
    assert "/findings/3/readings/" in text(charted.get("/findings/3/"))
    page = text(charted.get("/findings/3/readings/"))
    assert "1 to 50 of 60 readings, newest first" in page
    assert "03 Mar 2026 09:00" in page
    assert "39.9 °C" not in page  # FS-08's
    assert "row 61" in page  # the heading is row 1
    # Cleaned on 1 Feb 09:00, read on 3 Mar 09:00.
    assert "<td>30.0</td>" in page
    assert "V59" not in page
    older = text(charted.get("/findings/3/readings/?page=2"))
    assert "51 to 60 of 60 readings" in older
    assert "28 Feb 2026 22:00" in older


def test_the_readings_behind_an_offset_begin_with_its_first_day(charted):
    page = text(charted.get("/findings/1/readings/"))
    # 2 March 00:00 is the 27th of the sixty hours.
    assert "of 34 readings since 02 Mar 2026" in page
    assert "01 Mar 2026" not in page


def test_training_has_its_verdict_first_then_effect_interval_and_comparator(modelled):
    page = text(modelled.get("/teaching/did-it-work/"))
    said = (
        "Practice changed as hoped.",
        "+0.14 °C (+0.25 °F)",
        "+0.07 to +0.21 °C",
        "readings of the same months charted by people not yet signed off",
        "120 people signed off, 14 wards",
        "Staff signed off first are not a random sample",
        "Charts show practice, not accuracy",
        "Confirm with blinded re-reads",
        "How far people read apart",
    )
    places = [page.find(each) for each in said]
    assert -1 not in places, dict(zip(said, places, strict=True))
    assert places == sorted(places)


def test_secondary_measures_have_interval_and_luck_in_words(modelled):
    page = text(modelled.get("/teaching/did-it-work/")).split("Looked at beside it")[1]
    assert "−0.09 to −0.01 °C" in page
    assert "about once in 50 reviews" in page
    assert "too few to tell" in page


def test_the_months_around_sign_off_are_drawn_with_their_table(modelled):
    page = text(modelled.get("/teaching/did-it-work/"))
    assert "against the month before sign-off and people not signed off" in page
    assert "6 or more before" in page
    assert "month before (compared with)" in page
    assert "Before sign-off readings changed by 0.00 °C a month" in page


def test_training_says_so_where_nobody_asked(ines):
    page = text(ines.get("/teaching/did-it-work/"))
    assert "No review has asked yet" in page
    assert "/teaching/did-it-work/" in text(ines.get("/teaching/"))
