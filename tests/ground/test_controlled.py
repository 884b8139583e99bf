"""The shape of a controlled document is kept: nothing unknown, nothing missing, nothing twice."""

import pytest

import invented_document as visit
from browline.controlled import EMPTY, Field, Layout, checked
from browline.errors import NotUnderstood


def _with(**fields):
    return {"head": {}, "rows": [{"thing": "Spare scanner", **fields}]}


def test_every_field_is_there_after_the_check():
    body = checked(visit.LAYOUT, visit.default())
    assert all(set(row) == {field.name for field in visit.LAYOUT.fields} for row in body["rows"])
    assert body["rows"][1] == {
        "thing": "Swabs", "why": "", "heavy": False, "when": "", "for": [], "count": None, "id": "swabs",
    }  # fmt: skip


def test_what_is_checked_once_is_the_same_checked_again():
    body = checked(visit.LAYOUT, visit.default())
    assert checked(visit.LAYOUT, body) == body


def test_lists_that_are_filled_in_are_not_shared():
    rows = checked(visit.LAYOUT, visit.default())["rows"]
    rows[1]["for"].append("students")
    assert EMPTY["many"] == [] and checked(visit.LAYOUT, visit.default())["rows"][1]["for"] == []


@pytest.mark.parametrize(
    "body",
    [
        _with(thing=""),
        _with(colour="red"),
        _with(when="at dawn"),
        {**_with(), "head": {"hospital": "Fenwick Vale"}},
        {"head": {}, "rows": []},
        {"head": {}, "rows": [{"thing": "a", "id": "same"}, {"thing": "b", "id": "same"}]},
        _with(**{"for": ["nurses", "pilots"]}),
    ],
    ids=["needed", "unknown", "choice", "head", "no-row", "twice", "many"],
)
def test_a_body_that_is_not_of_this_shape_is_refused_with_what_to_do(body):
    with pytest.raises(NotUnderstood) as refused:
        checked(visit.LAYOUT, body)
    assert all((refused.value.came, refused.value.wanted, refused.value.do))


COUNTED = Layout(
    kind="counted",
    title="Counted",
    row="thing",
    fields=(
        Field("months", "Months", "number", least=1, most=120, whole=True),
        Field("share", "Share", "number", most=1),
    ),
)


@pytest.mark.parametrize("months", [0, -1, 121, 1e10, 1.5, float("nan"), float("inf"), "many", 10**400])
def test_a_number_outside_its_ends_is_refused_with_the_ends(months):
    with pytest.raises(NotUnderstood, match=r"Months of thing 1 is .* It is a whole number from 1 to 120\."):
        checked(COUNTED, {"rows": [{"months": months}]})


def test_numbers_up_to_both_ends_are_taken_and_an_end_may_be_left_out():
    body = checked(COUNTED, {"rows": [{"months": 1, "share": -7.5}, {"months": "120", "share": 1}]})
    assert [(row["months"], row["share"]) for row in body["rows"]] == [(1, -7.5), (120, 1)]
    with pytest.raises(NotUnderstood, match=r"It is a number to 1\."):
        checked(COUNTED, {"rows": [{"share": 1.01}]})
