"""The book's records as the kit's problem, the register's deeds, and needs that are stated."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from browline.documents.encoding import plain
from browline.errors import InputRefused, NotUnderstood
from browline.services.imports.run import import_file
from browline.services.instruments import register as registers
from browline.services.instruments.charts import charted_lately
from browline.services.instruments.document import instruments_document
from browline.services.instruments.par_levels import needed, state_battery, state_need
from browline.services.instruments.rounds import Line, Round, record_round
from browline.services.instruments.status import problem, standing

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)


def as_json(fleet):
    """The document as plain data, as the command writes it."""
    return plain(instruments_document(fleet))


@pytest.fixture
def fleet(book):
    """FS-07 and FS-08 of Larch in service."""
    for name in ("FS-07", "FS-08"):
        registers.add_instrument(name, ward="Larch", unit="C", mode="core", model="Model A", actor="ines")
    return book


def test_what_the_book_holds_reaches_the_room(fleet):
    from browline.services.book.change_preference import set_choice

    registers.enter_check("FS-07", time=NOW - timedelta(days=400), reference=37, shown=36.9, actor="ines")
    lines = (Line("FS-07", "present", lens="cleaned", battery="ok"), Line("FS-99", "present"))
    record_round(Round("Larch", NOW - timedelta(days=1), lines), actor="ines", now=NOW)
    set_choice("clean_days", 1, "ines")
    state_need("Larch", 4, actor="ines")
    told = as_json(standing(fleet, NOW))
    assert told["count"]["in_service"] == 2 and told["count"]["not_in_register"] == 1
    assert told["count"]["located_share"] == 0.5
    assert [(e["kind"], e["instrument"]) for e in told["due"]] == [
        ("missing", "FS-08"), ("lens", "FS-07"), ("lens", "FS-08"), ("check", "FS-08"), ("check", "FS-07"),
    ]  # fmt: skip
    assert told["wards"][0]["sentence"] == "0 ready of 4 needed: 4 short"


def test_times_are_the_hospitals(fleet):
    zone = ZoneInfo("America/Chicago")
    record_round(Round("Larch", NOW, (Line("FS-07", "present"),)), actor="ines", now=NOW)
    asked = problem(fleet, NOW.astimezone(zone))
    assert asked.sightings[0].time.utcoffset() == NOW.astimezone(zone).utcoffset()


def test_how_much_is_charted_lately(book, export):
    """FS-07: 20 readings on ten days up to 10 March, and one long before; FS-08: 10 readings on the last five."""
    rows = ["2025-01-01 06:00,36.6,FS-07,Yew"]
    rows += [f"2026-03-{d:02d} {h}:00,36.6,FS-07,Yew" for d in range(1, 11) for h in ("06", "18")]
    rows += [f"2026-03-{d:02d} {h}:30,36.6,FS-08,Larch" for d in range(6, 11) for h in ("05", "17")]
    import_file(book, export("\n".join(["time,value,instrument,ward", *rows]) + "\n"))
    got = charted_lately(book)
    assert got["FS-07"].readings == 20 and got["FS-07"].days == pytest.approx(9.5)
    assert (got["FS-07"].last, got["FS-07"].ward) == (datetime(2026, 3, 10, 18, 0, tzinfo=UTC), "Yew")
    assert got["FS-08"].readings == 10 and got["FS-08"].days == pytest.approx(4.52, abs=0.01)


def test_one_not_located_is_asked_for_where_it_was_charted_last(fleet, export):
    """Charts say where to ask; they do not locate it."""
    walked = Round("Yew", NOW - timedelta(days=30), (Line("FS-20", "present"),))
    record_round(walked, actor="ines", now=NOW)
    rows = [f"2026-03-0{d} 06:00,36.6,FS-07,Yew" for d in range(1, 8)]
    import_file(fleet, export("\n".join(["time,value,instrument,ward", *rows]) + "\n"))
    told = as_json(standing(fleet, NOW))
    missing = {e["instrument"]: e["reasons"] for e in told["due"] if e["kind"] == "missing"}
    assert missing["FS-07"][-1] == "Last charted 07 Mar 2026 06:00 on Yew."
    assert missing["FS-08"] == ["No round has found it yet."]
    assert told["count"]["not_located"] == 2


def test_readings_past_the_date_of_a_lens_are_counted_in_the_charts(fleet, export):
    """Cleaned on 1 February in Chicago, due on the 15th: past its date from midnight there, which is six by UTC."""
    from browline.services.book.change_preference import set_choice
    from browline.services.instruments import cleaning

    set_choice("zone", "America/Chicago", "ines")
    zone = ZoneInfo("America/Chicago")
    cleaned = datetime(2026, 2, 1, 23, 0, tzinfo=zone)
    cleaning.enter(["FS-07"], time=cleaned, part="lens", agent="", who="", actor="ines", now=NOW)
    rows = [f"2026-02-{d:02d} 00:30,36.6,FS-07,Yew" for d in range(14, 20)]
    import_file(fleet, export("\n".join(["time,value,instrument,ward", *rows]) + "\n"))
    asked = problem(fleet, NOW.astimezone(zone))
    assert asked.charted_past == {"FS-07": 4}
    assert asked.charts_end == datetime(2026, 2, 19, 0, 30, tzinfo=zone)
    lens = [e for e in as_json(standing(fleet, NOW.astimezone(zone)))["due"] if e["kind"] == "lens"]
    told = next(e["reasons"] for e in lens if e["instrument"] == "FS-07")
    assert "4 readings were charted with it past its date, in charts up to 19 Feb 2026." in told


def test_the_share_located_is_a_whole_count_without_a_range(fleet):
    count = as_json(standing(fleet, NOW))["count"]
    assert (count["located_share"], count["low"], count["high"]) == (0.0, None, None)
    assert "range" not in count["sentence"]


def test_a_book_without_readings_charts_nothing(book):
    assert charted_lately(book) == {}


def test_an_open_finding_makes_a_lens_more_urgent(fleet):
    from browline.store.models import Finding, Review

    review = Review.objects.create(options={}, result={}, supplement={}, version="0")
    facts = {"data": {}, "first_review": review, "last_review": review, "subject_type": "instrument"}
    Finding.objects.create(key="a", kind="instrument-offset", subject_id="FS-08", **facts)
    lenses = [e for e in as_json(standing(fleet, NOW))["due"] if e["kind"] == "lens"]
    assert [e["instrument"] for e in lenses] == ["FS-08", "FS-07"]
    assert "The review has an open question about it." in lenses[0]["reasons"]
    Finding.objects.update(state="closed")
    assert as_json(standing(fleet, NOW))["due"][2]["instrument"] == "FS-07"


def test_a_need_is_stated_changed_and_taken_back(book):
    from browline.store.models import Event

    state_need("Larch", 4, actor="ines")
    state_need("Maple", 2, actor="ines")
    state_need("Larch", None, actor="ines")
    assert needed() == {"Maple": 2}
    assert Event.objects.filter(verb="set").count() == 3
    with pytest.raises(NotUnderstood):
        state_need("Larch", -1, actor="ines")


def test_a_battery_is_stated_by_model(fleet):
    state_battery("Model A", 5500, actor="ines")
    state_battery("", 12000, actor="ines")
    asked = problem(fleet, NOW)
    assert (asked.lasts("Model A"), asked.lasts("Model B")) == (5500, 12000)
    with pytest.raises(NotUnderstood):
        state_battery("Model A", 5, actor="ines")


def test_a_look_alike_is_added_only_when_sure(fleet):
    from browline.store.models import Instrument

    with pytest.raises(InputRefused, match="FS-O7 looks like FS-07") as refused:
        registers.add_instrument("FS-O7", actor="ines")
    assert "letter O and a zero" in refused.value.wanted
    assert not Instrument.objects.filter(name="FS-O7").exists()
    assert registers.add_instrument("FS-O7", sure=True, actor="ines") == "FS-O7"


def test_one_already_in_the_register_is_not_added_again(fleet):
    with pytest.raises(InputRefused, match="FS-07 is in the register"):
        registers.add_instrument(" fs-07", actor="ines")
    with pytest.raises(NotUnderstood, match="No name"):
        registers.add_instrument("  ", actor="ines")


def test_one_seen_on_a_round_is_taken_into_the_register(fleet):
    from browline.store.models import Instrument

    record_round(Round("Larch", NOW, (Line("FS-99", "present"),)), actor="ines", now=NOW)
    registers.add_instrument("FS-99", ward="Larch", start=date(2026, 3, 1), actor="ines")
    kept = Instrument.objects.get(name="FS-99")
    assert kept.listed and kept.start == date(2026, 3, 1) and kept.sightings.count() == 1


@pytest.mark.parametrize(
    "wrong", [{"reason": " "}, {"replacement": ""}, {"replacement": "FS-07"}, {"replacement": "FS-06"}]
)
def test_nothing_is_retired_without_a_reason_and_a_stand_in(fleet, wrong):
    from browline.store.models import Instrument

    registers.add_instrument("FS-06", actor="ines")
    registers.retire("FS-06", on=date(2026, 1, 1), reason="lost", replacement="FS-08", actor="ines")
    facts = {"on": NOW.date(), "reason": "dropped", "replacement": "FS-08", "actor": "ines"}
    with pytest.raises(InputRefused):
        registers.retire("FS-07", **facts | wrong)
    assert Instrument.objects.get(name="FS-07").end is None


def test_retired_is_not_counted_and_can_be_put_back(fleet):
    from browline.store.models import Instrument

    yesterday = NOW.date() - timedelta(days=1)
    registers.retire(
        "FS-07", on=yesterday, reason="dropped", replacement="a spare comes on Friday", actor="ines"
    )
    assert as_json(standing(fleet, NOW))["count"]["retired"] == 1
    with pytest.raises(InputRefused, match="not in service"):
        registers.retire("FS-07", on=NOW.date(), reason="again", replacement="FS-08", actor="ines")
    assert Instrument.objects.get(name="FS-07").end == yesterday
    registers.reinstate("FS-07", actor="ines")
    assert as_json(standing(fleet, NOW))["count"]["retired"] == 0
    assert [deed["verb"] for deed in registers.service("FS-07")] == [
        "register-reinstated", "register-retired", "register-added",
    ]  # fmt: skip


def test_a_home_ward_is_moved(fleet):
    from browline.store.models import Instrument

    registers.move("FS-07", ward="Maple", actor="ines")
    assert Instrument.objects.get(name="FS-07").ward == "Maple"


def test_a_check_outside_its_range_says_what_to_look_for(fleet):
    with pytest.raises(NotUnderstood, match="Look for a lost decimal point"):
        registers.enter_check("FS-07", time=NOW, reference=37.0, shown=366.0, actor="ines")
