"""A session plan as one document: read again from its JSON, older ones open, and what is not finite is refused."""

import json
from math import inf, nan

import msgspec
import pytest
from msgspec.structs import replace

from browline.documents.encoding import NotFinite, plain
from browline.documents.plan import ChampionRow, PlanDocument, VisitRow, plan_json, read_plan
from browline.services.training import visit_plan
from browline.services.training.visit_plan.options import Options
from browline.store.models import Event, SessionPlan

VISIT = VisitRow(
    key="2026-03-02T14:00|Larch",
    time="2026-03-02T14:00:00+00:00",
    minutes=20,
    ward="Larch",
    shift="day",
    on_duty=8,
    places=4,
    expected=2.4,
    calls=((3, 1), (5, 2)),
    fixed=True,
)
DOCUMENT = PlanDocument(
    outcome="best-possible",
    to_reach=9,
    with_chance=2,
    expected=2.4,
    hours=1,
    worth=2.1,
    bound=2.2,
    visits=(VISIT,),
    make_ups={"5": (0,)},
    once=(3,),
    unreached={"only-nights": (7,)},
    excluded={"long-leave": (8,)},
    helpers={"7": (11, 4)},
    champions=(ChampionRow(ward="Larch", shift="night", turns=14, covered=3, champions=(12,)),),
)


def test_it_is_read_again_as_it_was_written():
    written = json.dumps(plain(DOCUMENT))
    assert read_plan(json.loads(written)) == DOCUMENT
    assert json.dumps(plain(read_plan(json.loads(written)))) == written


def test_the_json_opens_with_the_options_and_keeps_the_names_of_the_contract():
    written = json.loads(plan_json(Options("2026-03-02").as_json(), DOCUMENT))
    assert list(written)[:3] == ["options", "format", "outcome"] and written["options"]["days"] == [
        0,
        1,
        2,
        3,
        4,
    ]
    assert list(written["visits"][0])[-3:] == ["calls", "session", "kept"]
    assert written["champions"][0]["held"] == 3 and written["hours"] == 1


def test_everybody_it_speaks_of():
    assert DOCUMENT.people == {3, 5, 7, 8, 11, 12}


def test_one_of_a_version_that_counted_nobody_out_opens_and_one_of_a_later_version_does():
    stored = plain(DOCUMENT)
    del stored["excluded"]
    assert read_plan({**stored, "seasons": [1]}) == replace(DOCUMENT, excluded={})


@pytest.mark.parametrize("number", [nan, inf])
def test_what_is_not_finite_is_refused_with_its_place(number):
    broken = replace(DOCUMENT, visits=(VISIT, replace(VISIT, expected=number)))
    with pytest.raises(NotFinite, match=r"^visits\[1\]\.expected is "):
        plan_json({}, broken)


def test_nothing_of_it_is_stored_then(book, monkeypatch):
    monkeypatch.setattr(visit_plan, "plan_document", lambda *_: replace(DOCUMENT, bound=inf))
    from django.utils import timezone

    with pytest.raises(NotFinite, match=r"^bound is inf"):
        visit_plan.propose(Options("2026-03-02"), actor="ines", now=timezone.now())
    assert not SessionPlan.objects.exists() and not Event.objects.filter(verb="plan").exists()


def test_what_is_no_plan_is_refused():
    with pytest.raises(msgspec.ValidationError, match="outcome"):
        read_plan({"visits": []})
