"""The log of questioned readings: what may stand in it, kept once, taken back, and what it teaches."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from browline.errors import InputRefused, Refusal
from browline.instruments import Basis, Counted
from browline.instruments.recurring import Outcome
from browline.services.instruments import register
from browline.services.questioned.learning import RECUR_WEEKS, asks, learned, questioned_in
from browline.services.questioned.line import Line, Value, check
from browline.services.questioned.log import log, standing_lines, take_back
from browline.weeks import monday_of

NOW = datetime(2026, 11, 25, 22, 30, tzinfo=UTC)
TODAY, WEEK = NOW.date(), date(2026, 11, 23)
FOREHEAD, ARMPIT = Value("temporal", 38.6, "C", "FS-07"), Value("axillary", 37.1, "C")
LINE = Line(
    WEEK, (FOREHEAD, ARMPIT), "lag", ("escalated", "other-site"), accepted=0, part="night", ward="Larch"
)


@pytest.fixture
def wards(book):
    """Larch and Maple with eight instruments, FS-07 to FS-14; FS-99 was retired two years ago."""
    from browline.store.models import Instrument

    for n in range(7, 15):
        register.add_instrument(f"FS-{n:02d}", ward="Larch" if n < 11 else "Maple", unit="C", actor="Ines")
    Instrument.objects.create(name="FS-99", ward="Larch", end=TODAY - timedelta(days=700))
    return book


def keep(line=LINE, actor="Ines", **facts):
    """A new form each time, unless its key is said."""
    fresh = {} if "key" in facts else {"key": Line(WEEK, (), "", ()).key}
    return log(replace(line, **fresh, **facts), actor=actor, today=TODAY)


def doubted(instrument, times, weeks_ago=0, cause="lens", **facts):
    """Lines in which this instrument gave a value that was not accepted."""
    values = (Value("temporal", 35.1, "C", instrument), Value("oral", 37.2, "C"))
    week = WEEK - timedelta(weeks=weeks_ago)
    return [keep(values=values, accepted=1, cause=cause, week=week, **facts) for _ in range(times)]


def test_a_line_is_kept_as_it_was_entered_with_an_event_that_does_not_say_which(wards):
    from browline.store.models import Event

    line = keep().line
    line.refresh_from_db()
    assert line.values == [
        {"site": "temporal", "value": 38.6, "unit": "C", "instrument": "FS-07"},
        {"site": "axillary", "value": 37.1, "unit": "C", "instrument": ""},
    ]
    assert (line.week, line.part, line.ward, line.cause, line.accepted) == (WEEK, "night", "Larch", "lag", 0)
    event = Event.objects.get(verb="questioned-logged")
    assert (event.actor, event.subject, event.data) == ("Ines", "", {})


def test_a_line_has_no_place_for_a_clock_time_a_name_or_words_of_ones_own(book):
    """The whole list of its columns: one that is added has to be thought about here."""
    from django.db.models import DateTimeField, TextField

    from browline.store.models import QuestionedReading

    fields = QuestionedReading._meta.get_fields()
    assert {f.name for f in fields} == {
        "id", "key", "week", "part", "ward", "age", "values", "accepted", "cause", "others", "done", "actor",
        "taken_back",
    }  # fmt: skip
    assert not any(isinstance(f, DateTimeField | TextField) for f in fields)


def test_the_same_form_sent_twice_is_one_line_and_one_event(wards):
    from browline.store.models import Event

    first, again = keep(key=LINE.key), keep(key=LINE.key)
    assert first.new and not again.new and first.line == again.line
    assert standing_lines().count() == Event.objects.filter(verb="questioned-logged").count() == 1


def test_a_form_sent_again_with_something_else_is_refused_not_swallowed(wards):
    keep(key=LINE.key)
    with pytest.raises(InputRefused, match="now says something else"):
        keep(key=LINE.key, cause="damp")
    with pytest.raises(InputRefused, match="now says something else"):
        keep(key=LINE.key, values=(FOREHEAD, replace(ARMPIT, value=37.4)))


@pytest.mark.parametrize(
    ("facts", "told"),
    [
        ({"values": (FOREHEAD,)}, "has 1 value"),
        ({"values": (FOREHEAD,) * 21}, "has 21 values"),
        ({"values": (FOREHEAD, replace(ARMPIT, value=98.8))}, "Is °F meant"),
        ({"values": (FOREHEAD, replace(ARMPIT, value=float("nan")))}, "nothing a thermometer shows"),
        ({"values": (FOREHEAD, replace(ARMPIT, site="elbow"))}, "not a site"),
        ({"values": (FOREHEAD, replace(ARMPIT, instrument="bed 4, Mr Ash"))}, "not in the register"),
        ({"values": (FOREHEAD, replace(ARMPIT, instrument="FS-99"))}, "not in the register"),
        ({"accepted": 2}, "none of the line"),
        ({"week": TODAY}, "not the Monday"),
        ({"week": WEEK + timedelta(weeks=1)}, "not the Monday"),
        ({"week": WEEK - timedelta(weeks=27)}, "not the Monday"),
        ({"cause": "the patient in bed 4"}, "not a cause"),
        ({"others": ("lag",)}, "contradict"),
        ({"cause": "not-found", "others": ("damp",)}, "contradict"),
        ({"done": ()}, "What was done is missing"),
        ({"done": ("nothing", "charted")}, "contradicts itself"),
        ({"done": ("rang the family",)}, "not something that was done"),
        ({"ward": "Bed 4"}, "not a ward"),
        ({"part": "02:40"}, "not a part of the day"),
        ({"age": "57"}, "not an age"),
    ],
)
def test_what_cannot_be_is_refused(facts, told):
    with pytest.raises(Refusal, match=told):
        check(replace(LINE, **facts), TODAY, {"FS-07", "FS-08"}, {"Larch"})


def test_a_line_refused_leaves_nothing(wards):
    from browline.store.models import Event

    for facts in ({"ward": "Bed 4"}, {"values": (FOREHEAD, replace(ARMPIT, instrument="FS-99"))}):
        with pytest.raises(Refusal):
            keep(**facts)
    assert not standing_lines().exists() and not Event.objects.filter(verb="questioned-logged").exists()


def test_a_line_is_never_written_over_and_never_deleted(wards):
    from browline.store.models import QuestionedReading, RecordIsLocked

    line = keep().line
    line.cause = "damp"
    for deed in (line.save, line.delete, QuestionedReading.objects.all().delete):
        with pytest.raises(RecordIsLocked):
            deed()


def test_a_line_taken_back_counts_no_more_and_stays(wards):
    from browline.store.models import QuestionedReading

    line = keep().line
    take_back(line.pk, "twice", actor="Ines", own_only=False)
    assert not standing_lines().exists() and QuestionedReading.objects.count() == 1
    with pytest.raises(InputRefused, match="already"):
        take_back(line.pk, "twice", actor="Ines", own_only=False)
    assert learned(wards, NOW).taken_back == 1


def test_an_assessor_takes_back_only_what_they_entered(wards):
    line = keep(actor="assessor 00417").line
    with pytest.raises(InputRefused, match="not among yours"):
        take_back(line.pk, "twice", actor="assessor 00512", own_only=True)
    with pytest.raises(Refusal, match="not a reason"):
        take_back(line.pk, "because of Mr Ash", actor="assessor 00417", own_only=True)
    take_back(line.pk, "mistake", actor="assessor 00417", own_only=True)


def test_an_instrument_is_questioned_where_it_lay_apart_from_what_was_accepted(wards):
    """36.6 and 36.3 agree within 0.3 °C, though not in binary, and 98.0 °F (36.67 °C) does not."""

    def of(*others):
        values = (Value("temporal", 36.3, "C", "FS-07"), *others)
        return questioned_in(keep(values=values, accepted=0).line, 0.3)

    assert of(Value("temporal", 36.6, "C", "FS-08")) == set() == of(Value("temporal", 97.8, "F", "FS-08"))
    assert (
        of(Value("temporal", 36.7, "C", "FS-08"), ARMPIT)
        == {"FS-08"}
        == of(Value("oral", 98.0, "F", "FS-08"))
    )


def test_where_one_was_accepted_its_instrument_may_still_have_read_apart(wards):
    two = (FOREHEAD, Value("temporal", 38.0, "C", "FS-08"), Value("temporal", 37.9, "C", "FS-07"))
    assert questioned_in(keep(values=two, accepted=1).line, 0.3) == {"FS-07"}
    assert questioned_in(keep(values=two, accepted=None).line, 0.3) == {"FS-07", "FS-08"}


def test_an_instrument_that_recurs_is_asked_after_and_never_condemned(wards):
    doubted("FS-07", 8)
    doubted("FS-08", 1)
    (ask,) = asks(wards, NOW)
    assert ask.instrument == "FS-07" and ask.what.startswith(
        "Questioned 8 times in 13 weeks or since its last check within limits"
    )
    assert "about 1.1 would be its even part" in ask.what
    assert (
        ask.action == "Bring a spare, tag it, send it for a check."
        and ask.causes == "Causes found with it: lens dirty."
    )
    assert "fail" not in f"{ask}".lower()


def test_the_words_of_an_ask_are_on_todays_agenda(wards):
    from browline.services.agenda import agenda

    doubted("FS-07", 8)
    (item,) = [item for item in agenda(wards, NOW) if item.page == "questioned-learning"]
    assert item.what == "FS-07 recurs in questioned readings: bring a spare, tag it, send it for a check."
    assert "Questioned 8 times" in item.why and "lens dirty" in item.why


def test_few_lines_are_too_few_to_tell(wards):
    doubted("FS-07", 2)
    found = learned(wards, NOW)
    assert found.asks == () == asks(wards, NOW)
    assert {one.outcome for one in found.instruments.instruments} == {Outcome.TOO_FEW}
    assert found.instruments.basis is Basis.INSTRUMENTS and found.causes.outcome is Counted.TOO_FEW


def test_after_a_check_an_instrument_is_counted_anew(wards):
    doubted("FS-07", 8, weeks_ago=2)
    doubted("FS-08", 1)
    assert len(asks(wards, NOW)) == 1
    checked = NOW - timedelta(weeks=1)
    register.enter_check("FS-07", time=checked, reference=37.0, shown=37.1, actor="Ines")
    assert asks(wards, NOW) == ()


def test_a_check_out_of_limits_does_not_silence_the_question(wards):
    doubted("FS-07", 8, weeks_ago=2)
    doubted("FS-08", 1)
    checked = NOW - timedelta(weeks=1)
    register.enter_check("FS-07", time=checked, reference=37.0, shown=36.5, actor="Ines")
    assert [ask.instrument for ask in asks(wards, NOW)] == ["FS-07"]
    register.enter_check("FS-07", time=NOW - timedelta(days=5), reference=37.0, shown=37.0, actor="Ines")
    assert asks(wards, NOW) == ()


def test_lines_older_than_the_period_ask_for_nothing(wards):
    doubted("FS-07", 8, weeks_ago=RECUR_WEEKS)
    assert asks(wards, NOW) == () and learned(wards, NOW).lines == 8
    assert learned(wards, NOW, weeks=13).lines == 0


def test_where_the_charts_name_instruments_an_even_fall_goes_by_their_readings(wards, charted):
    """FS-07 takes 71 of 85 readings, so that 8 of 9 questions are nearly its even part; hand arithmetic."""
    charted({"FS-07": 71, **{f"FS-{n:02d}": 2 for n in range(8, 15)}})
    doubted("FS-07", 8)
    doubted("FS-08", 1)
    found = learned(wards, NOW).instruments
    one = next(one for one in found.instruments if one.instrument == "FS-07")
    assert found.basis is Basis.READINGS and one.expected == pytest.approx(9 * 71 / 85)
    assert found.flagged == ()


@pytest.fixture
def charted(book, export):
    """Bring charts in that hold so many readings with each instrument, one a minute, yesterday."""

    def bring(numbers):
        from browline.services.imports.run import import_file

        start, rows = datetime(2026, 11, 24, 6, 0), ["stay,time,temp,instrument"]
        names = [name for name, n in numbers.items() for _ in range(n)]
        rows += [
            f"V{place},{start + timedelta(minutes=place):%Y-%m-%d %H:%M},36.{place % 9},{name}"
            for place, name in enumerate(names)
        ]
        return import_file(book, export("\n".join(rows) + "\n"))

    return bring


def test_causes_are_counted_out_and_small_ones_stand_together(wards):
    for cause, n in (("damp", 9), ("lens", 4), ("drink", 2), ("mis-keyed", 1)):
        for _ in range(n):
            keep(cause=cause)
    found = learned(wards, NOW).causes
    assert [(bar.cause, bar.n) for bar in found.bars] == [("damp", 9), ("lens", 4), ("", 3)]
    assert found.bars[-1].cumulative == 1.0


def test_a_small_ward_is_not_shown_nor_to_be_worked_out_from_the_rest(wards):
    for ward, n in (("Larch", 12), ("Maple", 3)):
        for _ in range(n):
            keep(ward=ward)
    found = learned(wards, NOW)
    assert found.wards == () and found.elsewhere == 15
    for _ in range(11):
        keep(ward="")
    found = learned(wards, NOW)
    assert [ward for ward, _ in found.wards] == ["Larch"] and found.elsewhere == 14


def test_the_monday_of_a_week():
    assert [monday_of(WEEK + timedelta(days=n)) for n in range(8)] == [WEEK] * 7 + [WEEK + timedelta(weeks=1)]
