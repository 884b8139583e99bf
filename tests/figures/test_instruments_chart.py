"""Instruments at hand beside doubted readings: what is drawn, said and withheld."""

import random

import pytest
from svg_reading import marks, printed_over, strict, texts, upright_lines, written

from browline import figures
from browline.documents.charts import WardInstruments
from browline.figures.ink import ACCENT
from documents import rows as rows_of


def instruments_chart(rows, **options):
    return figures.instruments_chart(rows_of(WardInstruments, rows), **options)


def ward(name, beds, share, n=1000, low=None, high=None):
    low, high = share - 0.01 if low is None else low, share + 0.01 if high is None else high
    return {"ward": name, "per_ten_beds": beds, "share": share, "low": max(0, low), "high": high, "n": n}


ROWS = [
    ward("Hazel", 0.5, 0.12),
    ward("Elm", 2.0, 0.02),
    ward("Oak", 1.0, 0.07),
    ward("Yew", 1.0, 0.5, n=6),
    ward("Ash", None, 0.04),
]


def test_wards_stand_by_instruments_and_share():
    (x1, y1), (x2, y2), (x3, y3) = marks(instruments_chart(ROWS).svg, fill=ACCENT)
    assert (x2 - x1) * 2 == pytest.approx(x3 - x2, abs=0.1)
    assert y2 - y1 == pytest.approx(y3 - y2, abs=0.1)


def test_no_instruments_at_all_stands_at_the_left_edge():
    svg = instruments_chart(ROWS).svg
    (zero,) = [w.x for w in written(svg) if w.text == "0.0"]
    (half, _), (one, _), (two, _) = marks(svg, fill=ACCENT)
    assert (one - zero, two - zero) == pytest.approx((2 * (half - zero), 4 * (half - zero)), abs=25)


def test_a_mark_stands_within_its_interval_where_its_share_is():
    svg = instruments_chart([ward("Hazel", 1.0, 0.04, low=0.03, high=0.08), ward("Elm", 2.0, 0.02)]).svg
    ((x, y), _) = marks(svg, fill=ACCENT)
    (line,) = [ends for ends in upright_lines(svg, ACCENT) if ends[0] == pytest.approx(x, abs=0.5)]
    assert (line[2] - y) * 5 == pytest.approx(line[2] - line[1], abs=0.5)


def test_a_name_does_not_cover_the_interval_of_another_ward():
    rows = [ward("Hazel", 1.0, 0.04), ward("Elm", 1.1, 0.09, low=0.01, high=0.1), ward("Oak", 2.0, 0.05)]
    svg = instruments_chart(rows).svg
    lines = list(upright_lines(svg, ACCENT))
    assert len(lines) == 3
    for name in (w for w in written(svg) if w.text in ("Hazel", "Elm", "Oak")):
        # A text is placed by its base line, its middle is about 4 pixels higher.
        assert not [x for x, top, low in lines if abs(x - name.x) < name.half and top < name.y - 4 < low]


def test_every_ward_shown_is_named_and_the_others_are_withheld():
    figure = instruments_chart(ROWS)
    said = set(texts(figure.svg))
    assert {"Hazel", "Elm", "Oak"} <= said
    assert not {"Yew", "Ash"} & said
    assert figure.sentence.startswith("3 wards (2 wards withheld)")
    assert figure.table.rows[0] == ("Hazel", "0.5", "1,000", "12.0 %", "11.0 to 13.0 %")
    assert figure.table.rows[3] == ("Yew", "1.0", "fewer than 10", "–", "–")
    assert figure.table.rows[4] == ("Ash", "not counted", "1,000", "4.0 %", "3.0 to 5.0 %")


def test_it_promises_no_cause():
    assert "a reason to look, not a proof" in instruments_chart(ROWS).sentence


@pytest.mark.parametrize("seed", range(6))
def test_names_are_not_printed_over_each_other(seed):
    draw = random.Random(seed)
    rows = [ward(f"Ward {i:02d}", draw.uniform(1.2, 2.4), draw.uniform(0.01, 0.09)) for i in range(22)]
    assert printed_over(instruments_chart(rows).svg) == []


@pytest.mark.parametrize("rows", [[], ROWS[3:]])
def test_nothing_to_draw_is_said(rows):
    figure = instruments_chart(rows)
    assert figure.sentence.startswith("Instruments at hand by ward: no ward has both")
    assert len(figure.table.rows) == len(rows)
    assert strict(figure.svg)


def test_it_may_stand_on_a_strict_page():
    assert strict(instruments_chart(ROWS).svg)
