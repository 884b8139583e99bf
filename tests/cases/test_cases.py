"""Questioned readings as a careful clinician would have them, written before the program and never loosened.

`cases.json` and its checker are kept as they were written. Every hard expectation holds, but for those of `TO_COME`.
"""

import json
import sys
from functools import cache
from pathlib import Path

import pytest

HERE = Path(__file__).parent
CASES = json.loads((HERE / "cases.json").read_text(encoding="utf-8"))
BY_ID = {case["id"]: case for case in CASES["cases"]}
# A chance that is asked for and not told, since the guards tell none of these readings or of this patient; and what
# the model does not do yet. An expectation that is listed here and holds fails the test, so the list can only shrink.
UNTOLD = {
    "q02": ("bounds_sane", "fever", "relation"),
    "q03": ("bounds_sane", "fever", "relation"),
    "q04": ("bounds_sane", "fever", "relation"),
    "q05": ("bounds_sane", "fever", "relation", "band_width"),
    "q06": ("bounds_sane", "fever"),
    "q13": ("bounds_sane", "fever", "relation", "band_width"),
    "q18": ("bounds_sane", "fever"),
    "q30": ("bounds_sane", "low"),
    "q38": ("bounds_sane", "fever"),
    "q57": ("bounds_sane", "fever"),
    "q73": ("bounds_sane", "fever"),
    **dict.fromkeys(
        ("q15", "q16", "q21", "q22", "q23", "q34", "q40", "q41", "q42", "q46", "q49", "q76"), ("bounds_sane",)
    ),
}
OF_THE_MODEL = {
    "q48": ("fever",),
    "q54": ("first_step_not",),
    "q66": ("first_step_not",),
    "q78": ("steps_fever_from_min",),
    "q80": ("relation",),
    "q84": ("fever",),
}
TO_COME = {(id, kind) for table in (UNTOLD, OF_THE_MODEL) for id, kinds in table.items() for kind in kinds}


@cache
def checker():
    """The checker as it was written."""
    sys.path.insert(0, str(HERE))
    try:
        import check
    finally:
        sys.path.remove(str(HERE))
    return check


@pytest.fixture(scope="module")
def answers():
    """What the program answers, where there is no book, by id; None: refused."""
    from browline.documents.recheck import recheck_contract
    from browline.services.questioned.desk import desk_without_book, replay
    from browline.services.questioned.document import recheck_document

    questions = [case["question"] for case in CASES["cases"]]
    told = recheck_contract(recheck_document(replay(questions, desk_without_book())))
    return {case["id"]: one["answer"] for case, one in zip(CASES["cases"], told["cases"], strict=True)}


def seen(expected, id, answers):
    """'' where an expectation is met, else what was seen; a null where a number is asked for does not meet it."""
    answer = answers[id]
    if expected["kind"] == "refused":
        return "" if expected["args"][0] == (answer is None) else "refused, or answered, against the case"
    if answer is None:
        return "" if expected["kind"] == "refused_or_words" else "refused"
    try:
        return checker().check(expected, answer, answers)
    except TypeError:
        return "null where a number is asked for"


def hard(id):
    """The hard expectations of a case; of one that may be refused, and is, its own alone."""
    own = [one for one in BY_ID[id]["expect"] if one["level"] == "hard"]
    either = any(one["kind"] == "refused_or_words" for one in own)
    return own if either else [*(one for one in CASES["every"] if one["level"] == "hard"), *own]


@pytest.mark.parametrize("id", BY_ID)
def test_what_a_careful_clinician_expects_holds(id, answers):
    failing = {}
    for one in hard(id):
        if told := seen(one, id, answers):
            failing.setdefault(one["kind"], []).append(told)
    to_come = {kind for listed, kind in TO_COME if listed == id}
    unlisted = {kind: told for kind, told in failing.items() if kind not in to_come}
    assert unlisted == {}, BY_ID[id]["title"]
    assert to_come - set(failing) == set(), "this holds now: take it off the list"


def test_every_listed_expectation_is_one_of_its_case():
    for id, kind in TO_COME:
        assert kind in {one["kind"] for one in hard(id)}, (id, kind)


def test_what_is_listed_as_untold_is_told_of_nobody(answers):
    """Where a chance is listed as untold, the answer has none and says why."""
    for id in UNTOLD:
        answer = answers[id]
        assert answer["core"]["fever"] is None and answer["withheld"]["says"], id


def test_the_checker_can_fail(answers):
    """The checker itself, on an answer made wrong: a number that argues against acting, and no escalation."""
    wrong = {**answers["q42"], "says": "36.9 or less speaks against it.", "escalate": ""}
    wants = {one["kind"]: one for one in hard("q42")}
    for kind in ("words_not", "escalate_first"):
        assert seen(wants[kind], "q42", {**answers, "q42": wrong})
    assert not seen(wants["words_not"], "q42", answers)
