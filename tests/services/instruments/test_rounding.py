"""A round of instruments kept in the book: once, in any order, and used by the review as it stands."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest

from browline.errors import InputRefused, NotUnderstood
from browline.services.instruments import cleaning
from browline.services.instruments import register as registers
from browline.services.instruments.rounds import Line, Round, record_round, said

NOW = datetime(2026, 3, 9, 10, 0, tzinfo=UTC)


@pytest.fixture
def fleet(book):
    """FS-07 and FS-08 of Larch, FS-11 of Maple."""
    for name, ward in (("FS-07", "Larch"), ("FS-08", "Larch"), ("FS-11", "Maple")):
        registers.add_instrument(name, ward=ward, unit="C", mode="core", kind="forehead-scan", actor="ines")
    return book


def walk(*lines, ward="Larch", ago=0, **facts):
    return Round(ward, NOW - timedelta(hours=ago), tuple(lines), **facts)


def keep(walked, actor="ines"):
    return record_round(walked, actor=actor, now=NOW)


def test_a_round_is_kept_with_an_event(fleet):
    from browline.store.models import Event, Sighting

    got = keep(walk(Line("FS-07", "present", lens="clean", unit="C"), Line("FS-08", "not-located")))
    assert (got.kept, got.already_here, got.cleaned) == (2, 0, 0)
    assert {(s.instrument.name, s.state, s.ward, s.how) for s in Sighting.objects.all()} == {
        ("FS-07", "present", "Larch", "phone"),
        ("FS-08", "not-located", "Larch", "phone"),
    }
    event = Event.objects.filter(verb="round").get()
    assert (event.subject, event.actor, event.data["kept"]) == ("Larch", "ines", 2)


def test_a_round_sent_twice_is_kept_once(fleet):
    from browline.store.models import Cleaning, Event, Sighting

    walked = walk(Line("FS-07", "present", lens="cleaned"), Line("FS-08", "in-use"))
    keep(walked)
    again = keep(walked)
    assert (again.kept, again.already_here) == (0, 2)
    assert said(again) == "This round is already in the book."
    assert (Sighting.objects.count(), Cleaning.objects.count()) == (2, 1)
    assert Event.objects.filter(verb="round").count() == 1


def test_two_rounds_that_say_the_same_are_two_records(fleet):
    from browline.store.models import Sighting

    keep(walk(Line("FS-07", "present")))
    keep(walk(Line("FS-07", "present"), ago=1))
    assert Sighting.objects.count() == 2


def test_a_lens_cleaned_on_a_round_is_a_cleaning(fleet):
    from browline.store.models import Cleaning

    got = keep(walk(Line("FS-07", "present", lens="cleaned"), Line("FS-08", "present", lens="clean")))
    assert got.cleaned == 1 and "1 cleaned lens noted" in said(got)
    assert [(c.instrument.name, c.part, c.time) for c in Cleaning.objects.all()] == [("FS-07", "lens", NOW)]


def test_an_unknown_name_is_kept_and_said_to_be_unknown(fleet):
    from browline.store.models import Instrument

    got = keep(walk(Line("FS-O7", "present")))
    assert got.unlisted == ("FS-O7",) and got.alike == (("FS-O7", ("FS-07",)),)
    assert "Not in the register: FS-O7. FS-O7 looks like FS-07." in said(got)
    assert not Instrument.objects.get(name="FS-O7").listed


def test_a_name_in_other_letters_or_blanks_is_the_registers(fleet):
    from browline.store.models import Sighting

    assert keep(walk(Line(" fs-07 ", "present"))).unlisted == ()
    assert Sighting.objects.get().instrument.name == "FS-07"


def test_a_correction_for_the_same_moment_stands_after_what_it_corrects(fleet):
    from browline.instruments import State
    from browline.services.instruments.status import standing
    from browline.store.models import Sighting

    keep(walk(Line("FS-07", "not-located"), how="sheet"))
    first = walk(Line("FS-07", "present"), how="sheet")
    keep(first)
    assert standing(fleet, NOW).places["FS-07"].state is State.PRESENT
    keep(first)
    assert Sighting.objects.count() == 2


@pytest.mark.parametrize(
    "lines, facts, why",
    [
        ((), {}, "Nothing was ticked"),
        ((Line("FS-07", "present"),), {"ago": -2}, "still to come"),
        ((Line("  ", "present"),), {}, "names no instrument"),
        ((Line("x" * 81, "present"),), {}, "too long a name"),
        ((Line("FS-07", "not-located", lens="clean"),), {}, "was not found, but something was seen"),
    ],
)
def test_what_a_round_cannot_say_is_refused_whole(fleet, lines, facts, why):
    from browline.store.models import Event, Sighting

    with pytest.raises(InputRefused, match=why):
        keep(walk(Line("FS-08", "present"), *lines, **facts) if lines else walk(**facts))
    assert not Sighting.objects.exists() and not Event.objects.filter(verb="round").exists()


@pytest.mark.parametrize(
    "wrong", [{"state": "lost"}, {"lens": "shiny"}, {"mode": "guess"}, {"unit": "K"}, {"battery": "half"}]
)
def test_a_word_that_is_not_in_the_list_is_refused(fleet, wrong):
    with pytest.raises(NotUnderstood, match="FS-07: "):
        keep(walk(Line(**{"instrument": "FS-07", "state": "present"} | wrong)))


def test_a_clock_a_few_minutes_ahead_is_forgiven(fleet):
    assert keep(walk(Line("FS-07", "present"), ago=-0.1)).kept == 1


def test_phones_and_paper_in_any_order_give_the_same_standing(fleet):
    from itertools import permutations

    from browline.services.instruments.document import instruments_document
    from browline.services.instruments.status import standing
    from browline.store.models import Cleaning, Sighting

    key = uuid.UUID(int=7)
    rounds = [
        (walk(Line("FS-07", "present", lens="dirty", battery="ok"), ago=5, key=key), "ines"),
        (walk(Line("FS-07", "in-use", unit="F"), Line("FS-08", "not-located"), ago=3, how="sheet"), "ines"),
        (walk(Line("FS-08", "present", lens="cleaned"), ward="Maple", ago=2), "assessor 00417"),
        (walk(Line("FS-11", "present", battery="low"), ward="Maple", ago=3), "assessor 00417"),
    ]
    answers = []
    for order in permutations(rounds):
        Sighting.objects.all()._raw_delete("default")
        Cleaning.objects.all().delete()
        for walked, actor in (*order, order[0]):
            keep(walked, actor)
        answers.append(instruments_document(standing(fleet, NOW)))
    assert all(answer == answers[0] for answer in answers[1:])
    assert answers[0].count.present + answers[0].count.in_use == 3


def test_two_phones_at_once_keep_a_round_once(fleet, monkeypatch):
    """The second phone's record comes between the first's look and its writing: the key settles it."""
    from django.db import IntegrityError

    from browline.services.instruments import rounds as rounding
    from browline.store.models import Sighting

    walked = walk(Line("FS-07", "present"))
    real, raced = rounding._keep, []

    def slow(key, line, walked_, actor):
        if not raced:
            raced.append(True)
            real(key, line, walked_, actor)
        real(key, line, walked_, actor)

    monkeypatch.setattr(rounding, "_keep", slow)
    with pytest.raises(IntegrityError):
        keep(walked)
    assert not Sighting.objects.exists()
    monkeypatch.undo()
    assert keep(walked).kept == 1


def test_a_round_a_cleaning_and_a_check_by_hand_reach_the_review(fleet):
    """What `reviewing` reads: hours of lens cleanings by instrument; the case's are left out."""
    from browline.services.review.run import _cleanings, _modes, _registered_units
    from browline.store.models import Check

    keep(walk(Line("FS-07", "present", lens="cleaned"), ago=2))
    facts = {"actor": "ines", "now": NOW}
    cleaning.enter(["FS-07", "FS-08"], time=NOW - timedelta(hours=1), agent="alcohol swab", **facts)
    cleaning.enter(["FS-08"], time=NOW, part="case", agent="any", **facts)
    registers.enter_check("FS-11", time=NOW, reference=37.0, shown=36.6, actor="ines")
    hours = NOW.timestamp() / 3600
    assert {name: times.tolist() for name, times in _cleanings().items()} == {
        "FS-07": [hours - 2, hours - 1],
        "FS-08": [hours - 1],
    }
    assert Check.objects.get().instrument.name == "FS-11"
    assert _modes()["FS-11"] == "core" and _registered_units()["FS-11"] == "C"


def test_a_review_counts_days_since_the_cleaning_a_round_noted(fleet, export, monkeypatch):
    """The whole way: a chart, a round on which FS-07 was cleaned, a review; nothing is keyed twice."""
    from browline import variation
    from browline.services.imports.run import import_file
    from browline.services.review.run import review

    rows = [
        f"V{i % 9},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},{36 + i % 15 / 10},Oral,FS-0{7 + i % 2}\n"
        for i in range(120)
    ]
    import_file(fleet, export("stay,time,value,site,instrument\n" + "".join(rows)))
    keep(walk(Line("FS-07", "present", lens="cleaned")))
    asked, real = [], variation.Problem.from_readings
    monkeypatch.setattr(
        variation.Problem,
        "from_readings",
        lambda *a, **facts: asked.append(facts["cleanings"]) or real(*a, **facts),
    )
    review(fleet)
    assert {name: hours.tolist() for name, hours in asked[0].items()} == {"FS-07": [NOW.timestamp() / 3600]}
