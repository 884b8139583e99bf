"""The audit in words: findings of the known kinds, innocent causes first, what could not be told said as such."""

from dataclasses import replace

import numpy as np
import pytest

from browline import audit
from browline.audit import Outcome, Signal
from browline.findings import AUDITED, KINDS
from browline.synthetic.many_wards import many_wards
from browline.synthetic.plant import Plant


def _solved(seed=1, problem=None, **options):
    made = many_wards(np.random.default_rng(seed), **options)
    return made, audit.solve(audit.Problem(made.readings, **(problem or {})))


def test_findings_are_of_kinds_the_review_knows_and_never_about_a_person():
    _, audited = _solved(wards=6, readings=6000, plant=Plant(spike=(36.0, 0.08), edge=(38.0, 0.7), late=0.4))
    found = audit.findings(audited)
    assert {s.test for s in audited.flagged} > {"value-spike", "entry-delay"}
    assert {f.kind for f in found} <= set(KINDS) and {f.subject_type for f in found} == {"ward"}
    said = " ".join(f.sentence + f.action + " ".join(c.cause for c in f.causes) for f in found).lower()
    assert "unlikely to have all been measured" in said
    assert not any(word in said for word in ("invented", "fake", "falsif", "fabricat"))
    assert all(f.probability is None and f.low <= f.effect <= f.high for f in found)


def test_a_heap_just_under_the_fever_line_is_asked_about_the_line():
    _, audited = _solved(wards=4, readings=6000, plant=Plant(edge=(38.0, 0.8)))
    found = [f for f in audit.findings(audited) if f.kind == "value-spike"]
    assert found and all("37.9 °C" in f.sentence for f in found)
    assert all(f.causes[0] == AUDITED["edge"].causes[0] for f in found)
    assert all(f.action == AUDITED["edge"].action for f in found)
    _, elsewhere = _solved(wards=4, readings=2000, plant=Plant(spike=(36.0, 0.1)))
    assert all(f.action == AUDITED["value-spike"].action for f in audit.findings(elsewhere))


@pytest.mark.parametrize(("value", "under"), [(37.7, None), (37.8, 0.2), (37.9, 0.1), (38.0, None)])
def test_the_two_tenths_under_the_line_are_just_under_it(value, under):
    _, audited = _solved(wards=2, readings=2500, plant=Plant(spike=(value, 0.15)))
    found = [s for s in audited.flagged if s.test == "value-spike"]
    assert [s.label for s in found] == [f"{value:.1f} °C"] * 2
    assert all(s.parts.get("under the line") == (under and pytest.approx(under)) for s in found)


def test_many_whole_and_half_degrees_look_like_rounding():
    made = many_wards(np.random.default_rng(2), wards=1, readings=4000).readings
    rounded = np.random.default_rng(3).random(len(made)) < 0.35
    value = np.where(rounded, np.round(made.value * 2) / 2, made.value)
    audited = audit.solve(
        audit.Problem(replace(made, value=value, charted=replace(made.charted, value=value)))
    )
    [spike] = [s for s in audited.flagged if s.test == "value-spike"]
    assert len(spike.also) >= 2 and len(set(spike.also)) == len(spike.also)
    assert audit.causes(spike)[0].cause == "rounding to a whole or half degree"
    assert "Found too often as well" in audit.sentence(spike)


def test_an_instrument_whose_numbers_speak_against_the_register_is_told():
    made, _ = _solved(wards=1, readings=9000, charting="F-as-C")
    names = made.readings.names["instrument"]
    register = dict.fromkeys(names, "F") | {names[0]: "C"}
    audited = audit.solve(audit.Problem(made.readings, registered=register))
    [finding] = audit.findings(audited)
    assert (finding.kind, finding.subject_id) == ("instrument-unit", names[0])
    assert finding.probability > 0.95 and "tenths of °F" in finding.sentence


def test_an_instrument_is_told_once_where_its_slips_already_tell_it():
    made, _ = _solved(wards=1, readings=9000, charting="F-as-C")
    names = made.readings.names["instrument"]
    slipped = (made.readings.codes["instrument"] == 0) & (np.arange(9000) % 5 == 0)
    readings = replace(made.readings, charted=replace(made.readings.charted, slipped=slipped))
    audited = audit.solve(audit.Problem(readings, registered=dict.fromkeys(names[:1], "C")))
    assert {s.test for s in audited.flagged} == {"instrument-unit", "unit-pattern"}
    assert len(audit.findings(audited)) == 1


def test_a_ward_that_charts_in_both_units_is_told_once_by_the_clearer():
    made, _ = _solved(wards=2, readings=1500, plant=Plant(spike=(36.0, 0.12)))
    readings = made.readings
    in_f = np.arange(len(readings)) % 3 == 0
    shown = np.where(in_f, np.round(readings.value * 1.8 + 32, 1), readings.value)
    charted = replace(readings.charted, value=shown, fahrenheit=in_f)
    audited = audit.solve(audit.Problem(replace(readings, charted=charted)))
    spikes = [s for s in audited.signals if s.test == "value-spike"]
    assert len(spikes) == 2 and all(s.label == "36.0 °C" and s.outcome == "seen" for s in spikes)


def test_two_pairs_tell_nothing_however_alike():
    _, audited = _solved(wards=1, readings=40, site_mix={"oral": 1.0})
    assert all(s.outcome != "seen" for s in audited.signals if s.n < 30)
    few = [s for s in audited.signals if 0 < s.n < 30 and s.p is not None]
    assert few and all(s.outcome is Outcome.TOO_FEW for s in few)


@pytest.mark.parametrize(("outcome", "least", "said"), [
    ("not-seen", 0.024, "Not seen; 2.4 % or more would be, 8 times in 10."),
    ("too-few", 0.3, "Too few to tell: only 30.0 % or more would show 8 times in 10."),
    ("too-few", 1.4, "Too few to tell."),
    ("not-asked", None, "Not asked: the charts do not hold what this test needs, or too few wards to compare."),
])  # fmt: skip
def test_answers_say_what_would_have_shown(outcome, least, said):
    assert (
        audit.outcome_in_words(Signal("value-spike", "ward", "Alder", 100, Outcome(outcome), least=least))
        == said
    )


def test_every_test_has_its_words_and_every_outcome_its_advice():
    assert list(AUDITED) == list(audit.TESTS)
    assert all(kind.causes and kind.action and kind.ask.endswith("?") for kind in AUDITED.values())
    assert all(outcome.sentence.endswith(".") for outcome in Outcome)
    with pytest.raises(ValueError, match="not one of the tests"):
        Signal("guess", "ward", "Alder", 1, Outcome.SEEN)
