"""Which demonstrations scored twice are compared, and champions."""

from datetime import date, timedelta

import pytest

import larch_at_night as cast
from browline.competency.double_scored import Leaning, Pair, Score, leanings
from browline.errors import InputRefused
from browline.services.training.coverage import champions
from browline.services.training.interrater import agreeing
from larch_at_night import ALL_DONE, NO_LENS, TODAY, at, demonstration, on_duty, scored_again


@pytest.fixture
def staff(book):
    return cast.a_night()


def test_nothing_scored_twice(staff):
    found = agreeing()
    assert found.outcomes.n == 0 and found.steps == () and found.leanings == ()


def test_the_table_and_the_steps(staff):
    ana, bo = staff["Ana"], staff["Bo"]
    scored_again(ana.demonstrations.get(), staff["Ida"], NO_LENS)
    scored_again(staff["Dee"].demonstrations.get(), ana, NO_LENS | {"hold": "not-seen"})
    found = agreeing()
    assert found.outcomes.table == ((0, 1), (0, 1))
    lens = found.steps[0]
    assert (found.names[lens.step], lens.differed, lens.agreement.n) == ("clean lens", 1, 2)
    hold = next(s for s in found.steps if s.step == "hold")
    assert (hold.unpaired, hold.agreement.n) == (1, 1)
    assert "lens" in found.critical and "reads" not in found.critical
    assert {one.assessor: (one.pairs, one.differed) for one in found.leanings} == {
        ana.pk: (1, 0), bo.pk: (2, 1), staff["Ida"].pk: (1, 1),
    }  # fmt: skip


def test_the_first_record_is_compared_not_its_amendment(staff):
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    scored_again(stood, staff["Ida"], NO_LENS)
    demonstration(ana, staff["Bo"], stood.time, NO_LENS, amends=stood, reason="talked over")
    assert agreeing().outcomes.table == ((0, 1), (0, 0))


def test_a_withdrawn_demonstration_is_left_out(staff):
    ana = staff["Ana"]
    stood = ana.demonstrations.get()
    scored_again(stood, staff["Ida"], NO_LENS)
    demonstration(ana, staff["Bo"], stood.time, outcome="withdrawn", amends=stood, reason="another person")
    assert agreeing().outcomes.n == 0


def pairs(differing, agreeing_=0):
    """Assessor 1 signs off where 2 does not, so often; the other way round is (b, a)."""
    signed, not_yet = Score(1, "signed-off", ALL_DONE), Score(2, "not-yet", NO_LENS)
    return [Pair(signed, not_yet)] * differing + [Pair(signed, Score(2, "signed-off", ALL_DONE))] * agreeing_


@pytest.mark.parametrize(
    ("differing", "leans"),
    [(5, Leaning.TOO_FEW), (6, Leaning.SIGNS_MORE)],
)
def test_six_differences_one_way_are_the_fewest_that_tell(differing, leans):
    """By hand: all one way has the chance 2/2^5 = 0.0625 of five and 2/2^6 = 0.031 of six."""
    one, other = leanings(pairs(differing, 20))
    assert one.leaning is leans
    assert other.leaning is (leans if leans is Leaning.TOO_FEW else Leaning.SIGNS_LESS)


def test_even_differences_are_no_pattern():
    mixed = pairs(4) + [Pair(p.second, p.first) for p in pairs(0)]
    mixed += [Pair(Score(1, "not-yet", NO_LENS), Score(2, "signed-off", ALL_DONE))] * 4
    assert {one.leaning for one in leanings(mixed)} == {Leaning.NO_PATTERN}


def test_the_sign_test_is_scipys():
    from scipy.stats import binomtest

    from browline.competency.double_scored import two_sided

    for n in range(1, 14):
        for k in range(n + 1):
            assert two_sided(k, n) == pytest.approx(binomtest(k, n).pvalue)


def test_a_champion_covers_the_shifts_they_work_while_signed_off(staff):
    assert [(g.ward, g.kind, g.people) for g in champions.gaps(TODAY)] == [("Larch", "night", 9)]
    champions.appoint(staff["Dee"].pk, "Larch", start=TODAY, actor="ines")
    assert len(champions.gaps(TODAY)) == 1, "Dee is not signed off"
    champions.appoint(staff["Ana"].pk, "Larch", start=TODAY, actor="ines")
    assert champions.gaps(TODAY) == ()
    on_duty(staff["Bo"], day=TODAY + timedelta(days=2), kind="day")
    assert [(g.ward, g.kind) for g in champions.gaps(TODAY)] == [("Larch", "day")]


def test_a_champion_is_entered_once_and_released(staff):
    from browline.store.models import Event

    made = champions.appoint(staff["Ana"].pk, "Larch", start=TODAY, actor="ines")
    with pytest.raises(InputRefused, match="already"):
        champions.appoint(staff["Ana"].pk, "Larch", start=TODAY, actor="ines")
    champions.release(made.pk, TODAY, actor="ines")
    with pytest.raises(InputRefused, match="had stopped"):
        champions.release(made.pk, TODAY, actor="ines")
    assert champions.champions(TODAY + timedelta(days=1)) == ()
    assert [e.verb for e in Event.objects.filter(verb__startswith="champion")] == [
        "champion-released",
        "champion",
    ]


def test_what_became_of_those_a_champion_signed_off_first(staff):
    ana, bo, cem = staff["Ana"], staff["Bo"], staff["Cem"]
    champions.appoint(bo.pk, "Larch", start=TODAY, actor="ines")
    demonstration(cem, bo, at(date(2026, 2, 1), 10))
    # Bo seeing somebody again tells nothing of how his teaching holds.
    demonstration(cem, bo, at(date(2026, 2, 5)))
    demonstration(cem, ana, at(date(2026, 2, 10)), NO_LENS)
    demonstration(ana, staff["Ida"], at(date(2026, 2, 11)))
    (one,) = champions.champions(TODAY)
    assert (one.seen_again, one.held, one.last) == (2, 1, date(2026, 2, 20))
