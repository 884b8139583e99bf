"""Wards in a funnel: what is drawn, said and withheld."""

import re

import pytest
from svg_reading import marks, printed_over, strict, texts, written

from browline import figures
from browline.documents.charts import FunnelLimit, FunnelUnit
from browline.figures.ink import ACCENT, QUIET
from documents import rows


def funnel_chart(units, limits, centre, **options):
    return figures.funnel_chart(rows(FunnelUnit, units), rows(FunnelLimit, limits), centre, **options)


def ward(name, n, share, stands="inside"):
    return {"name": name, "n": n, "share": share, "stands": stands}


UNITS = [
    ward("Elm", 100, 0.04),
    ward("Oak", 1000, 0.06),
    ward("Hazel", 2000, 0.13, "outside-high"),
    ward("Larch", 2100, 0.131, "outside-high"),
    ward("Ash", 5000, 0.005, "outside-low"),
    ward("Yew", 9, None, "too-few-to-tell"),
]
LIMITS = [
    {
        "n": n,
        "low95": 0.05 - 1 / n**0.5,
        "high95": 0.05 + 1 / n**0.5,
        "low998": 0.05 - 1.5 / n**0.5,
        "high998": 0.05 + 1.5 / n**0.5,
    }
    for n in range(50, 8000, 50)
]


def drawn(units=UNITS, limits=LIMITS):
    return funnel_chart(units, limits, 0.05)


def test_wards_stand_by_readings_and_share():
    """Across by powers of ten: from 100 to 1,000 as far as from 1,000 to 10,000."""
    rows = [ward("a", 100, 0.02), ward("b", 1000, 0.04), ward("c", 10000, 0.06)]
    (x1, y1), (x2, y2), (x3, y3) = marks(drawn(rows).svg, stroke=ACCENT)
    assert x2 - x1 == pytest.approx(x3 - x2, abs=0.1)
    assert y1 - y2 == pytest.approx(y2 - y3, abs=0.1)
    assert y1 > y3


def test_wards_outside_differ_in_shape_and_carry_their_names():
    svg = drawn().svg
    assert len(marks(svg, fill=ACCENT)) == 3
    assert len(marks(svg, stroke=ACCENT, fill="white")) == 2
    said = texts(svg)
    assert {"Hazel", "Larch", "Ash"} <= set(said)
    assert not {"Elm", "Oak", "Yew"} & set(said)


def test_the_sentence_and_the_table_tell_them_too():
    figure = drawn()
    assert "5 wards, usual level 5.0 % (1 ward with too few readings withheld)" in figure.sentence
    assert "higher than chance and usual differences bring: Hazel and Larch" in figure.sentence
    assert "lower than chance and usual differences bring: Ash" in figure.sentence
    assert figure.table.rows[2] == ("Hazel", "2,000", "13.0 %", "outside, high")
    assert figure.table.rows[5] == ("Yew", "fewer than 10", "–", "too few to tell")


def test_a_small_ward_is_withheld_even_if_its_share_came():
    figure = drawn([*UNITS[:5], ward("Yew", 8, 0.875, "outside-high")])
    assert "Yew" not in figure.sentence + " ".join(texts(figure.svg))
    assert "87" not in " ".join(figure.table.rows[5])


def test_none_outside_is_said():
    assert "none is outside" in drawn(UNITS[:2]).sentence


def test_close_names_are_not_printed_over_each_other():
    crowd = [ward(f"Ward {i}", 2000 + 7 * i, 0.12 + 0.0008 * i, "outside-high") for i in range(9)]
    svg = drawn([*UNITS, *crowd]).svg
    assert printed_over(svg) == []
    assert sum(t.startswith("Ward") for t in texts(svg)) == 9


def test_a_name_stands_next_to_its_mark():
    svg = drawn().svg
    places = marks(svg, fill=ACCENT)
    for name in written(svg):
        if name.text in ("Hazel", "Larch", "Ash"):
            assert min(max(abs(name.x - x) - name.half, abs(name.y - y)) for x, y in places) < 25


def test_outside_and_inside_differ_in_shape():
    """Circles are drawn of arcs, diamonds of straight lines."""
    drawn_as = {
        fill: re.findall(rf'<path [^>]*fill="{fill}"[^>]*>', drawn().svg) for fill in ("white", ACCENT)
    }
    round_ = {
        fill: ["A" in re.search(r' d="([^"]+)"', p)[1] for p in found] for fill, found in drawn_as.items()
    }
    assert any(round_["white"]) and not any(round_[ACCENT])


def test_names_of_close_lines_stand_apart():
    tight = [{**row, "high95": 0.0505, "high998": 0.051} for row in LIMITS]
    assert printed_over(drawn(UNITS, tight).svg) == []


def test_the_lines_are_named():
    assert {"95 of 100", "99.8 of 100", "usual 5.0 %"} <= set(texts(drawn().svg))
    assert "the lines hold 95 and 99.8 of 100 wards like the others" in drawn().sentence


def test_a_low_limit_under_zero_is_no_line():
    def lines(limits):
        return drawn(UNITS, limits).svg.count(f'stroke="{QUIET}"')

    none = [{**row, "low95": -0.01, "low998": -0.02} for row in LIMITS]
    assert lines(none) == lines(LIMITS) - 2


@pytest.mark.parametrize(
    "units", [[], [ward("Yew", 9, None, "too-few-to-tell")], [ward("Elm", 50, None, "too-few-to-tell")]]
)
def test_nothing_to_draw_is_said(units):
    figure = drawn(units)
    assert figure.sentence.endswith("too few readings or wards to draw.")
    assert strict(figure.svg)


def test_it_may_stand_on_a_strict_page():
    assert strict(drawn().svg)
    assert strict(drawn(limits=[]).svg)
