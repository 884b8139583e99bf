"""Do assessors agree: the table, the numbers, the steps, and assessors by name only when asked for."""

from datetime import timedelta

import pytest

import larch_at_night as cast
from larch_at_night import ALL_DONE, NO_LENS


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def scored(book):
    """Twelve demonstrations seen by Bo and scored by Ida: nine alike, in three Ida saw a lens not looked at."""
    staff = cast.a_night()
    for k in range(12):
        made = cast.demonstration(staff["Cem"], staff["Bo"], cast.at(cast.TODAY - timedelta(days=30 - k)))
        cast.scored_again(made, staff["Ida"], NO_LENS if k < 3 else ALL_DONE)
    return staff


def test_nothing_scored_twice(ines):
    page = text(ines.get("/teaching/agreement/"))
    assert "Nothing has been scored twice." in page and "What both said" not in page


def test_the_page(ines, scored):
    page = text(ines.get("/teaching/agreement/"))
    for said in (
        "Two assessors agreed on 9 of 12 demonstrations scored twice.",
        "12 pairs are few",
        "75 % (47 to 91 %)",
        "Kappa",
        "0.00 (",
        "AC1",
    ):
        assert said in page, said


def test_the_face_is_the_share_and_the_table_and_coefficients_belong_to_the_method(ines, scored):
    face, method = text(ines.get("/teaching/agreement/")).split("<summary>Method")
    assert "75 % (47 to 91 %)" in face and "Second: not yet" in face
    for word in ("kappa", "ac1", "coefficient", "chance"):
        assert word not in face.lower(), word
    assert "Kappa</dt>" in method and "AC1</dt>" in method


def test_a_step_they_differed_on_stands_before_those_they_did_not(ines, scored):
    steps = text(ines.get("/teaching/agreement/")).split("Step by step")[1]
    assert steps.index("Clean lens") < steps.index("right patient (12)")


def test_assessors_by_name_only_when_asked_for(ines, scored):
    assert "Bo Hale" not in text(ines.get("/teaching/agreement/"))
    page = text(ines.get("/teaching/agreement/?people=1"))
    assert "Bo Hale</strong>: Too few to tell: 12 scored with a colleague, 3 judged differently." in page


def test_a_leaning_is_an_offer_with_its_numbers(ines, scored):
    for k in range(3):
        made = cast.demonstration(scored["Hal"], scored["Bo"], cast.at(cast.TODAY - timedelta(days=10 - k)))
        cast.scored_again(made, scored["Ida"], NO_LENS)
    page = text(ines.get("/teaching/agreement/?people=1"))
    assert (
        "Offer a calibration together: 15 scored with a colleague, 6 judged differently, and in 6 of those"
        in page
    )
    assert "lenien" not in page.lower()
