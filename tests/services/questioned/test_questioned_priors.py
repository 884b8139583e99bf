"""What a questioned reading is judged with: published, or from the book's last whole review, and which is said."""

from datetime import UTC, datetime
from math import sqrt

import pytest

import invented_model
from browline.questioned.published import published
from browline.services.questioned import priors as rooms

REVIEWED = datetime(2026, 3, 7, 12, tzinfo=UTC)
PLAIN = published()
FS07 = {"instrument": "FS-07", "n": 1234, "comparator": "the other thermometers at the forehead",
        "offset_c": -0.42, "low_c": -0.55, "high_c": -0.30}  # fmt: skip


def site(name, **other):
    """A site against bladder as a review writes it."""
    return {"site": name, "n": 12400, "offset_c": -0.3, "low_c": -0.34, "high_c": -0.26, "slope": None,
            "slope_low": None, "slope_high": None, "sd_c": 0.2, **other}  # fmt: skip


@pytest.fixture
def reviewed(book):
    """Write a review of the 7th of March; returns the function."""
    from browline.store.models import Review

    def write(sites=(), reference="bladder", instruments=(), disagrees=(), options=None, **spread):
        result = {"reference_site": reference, "sites": list(sites), "instruments": list(instruments)}
        kept = [{"site": s["site"], "disagrees": s["site"] in disagrees} for s in sites]
        made = Review.objects.create(
            result=result, supplement={"model": {"sites": kept, "spread": spread}}, options=options or {}
        )
        Review.objects.filter(pk=made.pk).update(at=REVIEWED)
        return made

    return write


def says(sources, about, name=""):
    return next(s for s in sources if (s.about, s.name) == (about, name))


def test_without_a_review_everything_is_published_and_said_to_be(book):
    priors, sources = rooms.priors_in_use()
    assert priors == PLAIN
    assert len(sources) == len(PLAIN.sites) + 1 and not any(s.of_the_book for s in sources)
    assert all("as published, not from this book" in s.says for s in sources)
    assert "Geijer 2016" in says(sources, "site", "temporal").says


def test_a_site_of_the_book_is_carried_to_the_core_by_its_reference(reviewed):
    """Mouth is published at -0.25 °C, so a forehead 0.10 above the mouth is at -0.15; worked by hand."""
    reviewed(
        [site("oral", sd_c=0.16), site("temporal", offset_c=0.10, low_c=0.04, high_c=0.16)], reference="oral"
    )
    priors, sources = rooms.priors_in_use()
    temporal = priors.sites["temporal"]
    assert temporal.offset_c == pytest.approx(-0.15) and temporal.error_sd_c == 0.2 and temporal.of_the_book
    assert temporal.slope == PLAIN.sites["temporal"].slope and temporal.lags == PLAIN.sites["temporal"].lags
    assert says(sources, "site", "temporal").says == (
        "forehead against mouth: from this book, 12,400 readings, review of 07 Mar 2026"
    )
    assert sources[0].of_the_book and not sources[-1].of_the_book


def test_the_reference_keeps_its_published_offset_and_takes_the_books_spread(reviewed):
    reviewed([site("oral", sd_c=0.16)], reference="oral")
    oral = rooms.priors_in_use().priors.sites["oral"]
    assert (oral.offset_c, oral.slope, oral.own_sd_c) == (-0.25, 1.0, PLAIN.sites["oral"].own_sd_c)
    assert oral.error_sd_c == 0.16


def test_a_slope_of_the_book_multiplies_along(reviewed):
    """Site = 37 + d + κ (ref - 37), ref = 37 + o + λ (S - 37): offset d + κ o, slope κ λ."""
    reviewed([site("temporal"), site("rectal", slope=0.8, offset_c=0.2)], reference="temporal")
    rectal, forehead = rooms.priors_in_use().priors.sites["rectal"], PLAIN.sites["temporal"]
    assert rectal.offset_c == pytest.approx(0.2 + 0.8 * forehead.offset_c)
    assert rectal.slope == pytest.approx(0.8 * forehead.slope)


def test_the_pair_of_sites_keeps_the_spread_that_the_book_measured(reviewed):
    """Between two sites the book's spread is sqrt(2) a; what is not known of the offset comes on top."""
    reviewed([site("bladder"), site("temporal")], at_site_sd_c=0.3)
    sites = rooms.priors_in_use().priors.sites
    unknown = 0.08 / (2 * 1.959964)
    forehead, bladder = PLAIN.sites["temporal"].own_sd_c, PLAIN.sites["bladder"].own_sd_c
    share = forehead**2 / (forehead**2 + bladder**2)
    assert sites["temporal"].own_sd_c == pytest.approx(sqrt(2 * 0.3**2 * share + unknown**2), rel=1e-6)
    assert sites["bladder"].own_sd_c == bladder


@pytest.mark.parametrize(
    "row",
    [site("temporal", n=9), site("temporal", offset_c=None), site("temporal", low_c=None), site("unknown")],
)
def test_a_site_with_too_little_is_left_as_published(reviewed, row):
    reviewed([site("bladder"), row])
    assert rooms.priors_in_use().priors.sites["temporal"] == PLAIN.sites["temporal"]


def test_a_site_whose_two_ways_disagree_is_left_as_published(reviewed):
    reviewed([site("bladder"), site("temporal")], disagrees=("temporal",))
    priors, sources = rooms.priors_in_use()
    assert priors.sites["temporal"] == PLAIN.sites["temporal"]
    told = says(sources, "site", "temporal")
    assert "as published, not from this book, whose two ways of comparing it differ" in told.says
    assert "Geijer 2016" in told.says and not told.of_the_book


def test_the_review_as_the_model_keeps_it_is_read(reviewed):
    """Larch and Maple's invented review: temporal disagrees, rectal is taken, course and reading are there."""
    made = reviewed(invented_model.sites())
    made.supplement = {"model": invented_model.model()}
    made.save()
    priors, sources = rooms.priors_in_use()
    assert not priors.sites["temporal"].of_the_book and priors.sites["rectal"].of_the_book
    assert (priors.course.wander_sd_c, priors.course.wander_hours) == (0.43, 28.0)
    assert priors.course.levels == PLAIN.course.levels
    assert "0.43 °C, 28 hours" in says(sources, "course").says


def test_a_fit_gone_astray_does_not_move_the_course(reviewed):
    reviewed(course_sd_c=4.0, course_hours=9.0)
    assert rooms.priors_in_use().priors.course == PLAIN.course


def test_an_instrument_of_the_book_brings_offset_and_spread(reviewed):
    """The interval is 95 %: its half over 1.96."""
    reviewed(instruments=[FS07, {**FS07, "instrument": "FS-08", "n": 4}])
    priors, sources = rooms.priors_in_use()
    assert set(priors.instruments) == {"FS-07"}
    assert priors.instruments["FS-07"].offset_c == -0.42
    assert priors.instruments["FS-07"].sd_c == pytest.approx(0.125 / 1.959964, rel=1e-6)
    assert says(sources, "instrument", "FS-07").says == (
        "FS-07 against the other thermometers at the forehead: −0.42 °C, from this book, 1,234 readings, review of "
        "07 Mar 2026"
    )


def test_what_was_mended_since_is_known_no_longer(reviewed):
    from browline.store.models import Finding, Outcome

    made = reviewed(instruments=[FS07])
    finding = Finding.objects.create(key="k", kind="instrument-offset", subject_type="instrument",
                                     subject_id="FS-07", first_review=made, last_review=made)  # fmt: skip
    Outcome.objects.create(finding=finding, code="within-limits", actor="ines")
    assert "FS-07" in rooms.priors_in_use().priors.instruments
    Outcome.objects.create(finding=finding, code="lens-cleaned", actor="ines")
    priors, sources = rooms.priors_in_use()
    assert "FS-07" not in priors.instruments
    assert "lens cleaned since the review" in says(sources, "instrument", "FS-07").says


def test_the_mode_of_the_register_is_heeded_where_no_review_knows_the_instrument(reviewed):
    """Core and oral-equivalent builds differ by about 0.4 °C, the second lower (practice, section 3)."""
    from browline.store.models import Instrument

    for name, mode in (
        ("FS-01", "core"),
        ("FS-07", "oral-equivalent"),
        ("FS-12", "oral-equivalent"),
        ("FS-13", "direct"),
    ):
        Instrument.objects.create(name=name, kind="forehead-scan", mode=mode)
    Instrument.objects.create(name="M-1", kind="contact", mode="oral-equivalent")
    assert rooms.priors_in_use().priors.instruments["FS-07"].offset_c == -0.4
    reviewed(instruments=[FS07])
    priors, sources = rooms.priors_in_use()
    assert {n: k.offset_c for n, k in priors.instruments.items()} == {"FS-07": -0.42, "FS-12": -0.4}
    assert "is not known here" in says(sources, "instrument", "FS-13").says
    assert "from this book" in says(sources, "instrument", "FS-07").says


def test_a_fleet_in_the_other_mode_is_the_measure_where_the_book_knows_the_forehead(reviewed):
    from browline.store.models import Instrument

    for name in ("FS-01", "FS-02"):
        Instrument.objects.create(name=name, kind="forehead-scan", mode="oral-equivalent")
    Instrument.objects.create(name="FS-03", kind="forehead-scan", mode="core")
    reviewed([site("bladder"), site("temporal")])
    named = rooms.priors_in_use().priors.instruments
    assert {name: known.offset_c for name, known in named.items()} == {"FS-03": 0.4}


def test_a_review_of_some_days_does_not_speak(reviewed):
    reviewed([site("bladder"), site("temporal")], options={"since": "2026-03-01"})
    assert rooms.priors_in_use().priors == PLAIN


def test_in_intensive_care_the_forehead_follows_less_unless_the_book_knows_better(reviewed):
    """Stelfox 2010 in `intensive`; a forehead of the book stays."""
    told = rooms.in_intensive_care(rooms.as_published())
    assert told.priors.sites["temporal"].slope == 0.54
    assert "Stelfox 2010" in says(told.sources, "site", "temporal").says
    reviewed([site("bladder"), site("temporal")])
    mine = rooms.priors_in_use()
    assert rooms.in_intensive_care(mine) == mine


def test_an_instrument_that_is_not_judged_is_not_taken_from_the_book_and_that_is_said(reviewed):
    from browline.findings import NOT_JUDGED, not_judged

    reviewed(instruments=[not_judged(FS07), {**FS07, "instrument": "FS-08"}])
    priors, sources = rooms.priors_in_use()
    assert "FS-07" not in priors.instruments and "FS-08" in priors.instruments
    told = says(sources, "instrument", "FS-07")
    assert told.says == f"FS-07: not from this book, {NOT_JUDGED}" and not told.of_the_book
