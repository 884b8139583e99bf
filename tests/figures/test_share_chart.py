"""A share over time: what is drawn, said and withheld."""

from datetime import date, timedelta

import pytest
from svg_reading import marks, printed_over, strict, texts, written

from browline import figures
from browline.documents.charts import SharePoint
from browline.documents.supplement import EventRow
from browline.figures.ink import ACCENT, INK
from documents import rows


def share_chart(points, events=(), **options):
    return figures.share_chart(rows(SharePoint, points), rows(EventRow, events), **options)


RING = {"stroke": INK, "fill": "transparent"}


def week(i, share=0.04, n=500, *, outside=False, low=0.01, high=0.08):
    start = date(2026, 1, 5) + timedelta(days=7 * i)
    return {
        "start": start,
        "n": n,
        "share": share,
        "centre": 0.045,
        "low": low,
        "high": high,
        "outside": outside,
    }


WEEKS = [week(0), week(1, 0.05), week(2, 0.12, outside=True), week(3, 0.9, n=4, outside=True), week(4, 0.06)]
EVENTS = [
    {"date": "2026-01-20", "what": "form changed", "ward": "Hazel"},
    {"date": "2026-01-21", "what": "instruments delivered", "ward": "Hazel"},
    {"date": "2026-01-22", "what": "session held", "ward": "Elm"},
    {"date": "2026-02-04", "what": "session held", "ward": ""},
    {"date": "2031-01-01", "what": "far away", "ward": ""},
    {"date": "2026-01-04", "what": "the day before", "ward": ""},
]


def test_points_stand_in_proportion_to_their_shares():
    places = marks(share_chart(WEEKS).svg, fill=ACCENT)
    assert len(places) == 4
    (x0, y0), (x1, y1), (x2, y2), (x4, _) = places
    assert (y0 - y1) * 7 == pytest.approx(y1 - y2, abs=0.2)
    assert x4 - x2 == pytest.approx(2 * (x1 - x0), abs=0.1)


def test_points_outside_are_ringed_named_and_told_in_the_table():
    figure = share_chart(WEEKS)
    (ring,) = marks(figure.svg, stroke=INK)
    assert ring == marks(figure.svg, fill=ACCENT)[2]
    assert "outside the usual range: 19 Jan 2026 (ringed)" in figure.sentence
    assert [row[-1] for row in figure.table.rows] == ["", "", "outside", "", ""]


def test_a_small_week_is_withheld_everywhere():
    figure = share_chart(WEEKS)
    assert figure.table.rows[3] == ("26 Jan 2026", "fewer than 10", "–", "–", "–", "")
    assert "90" not in figure.sentence + " ".join(texts(figure.svg))
    assert "26 Jan" not in figure.sentence


def test_the_usual_range_is_told_in_numbers():
    figure = share_chart(WEEKS)
    assert {"usual 4.5 %", "usual up to 8.0 %"} <= set(texts(figure.svg))
    assert figure.table.rows[0] == ("05 Jan 2026", "500", "4.0 %", "1.0 %", "8.0 %", "")


def test_limits_beyond_all_shares_are_told_as_their_bounds():
    row = share_chart([week(0, low=-0.02, high=1.3)]).table.rows[0]
    assert row[3:5] == ("0.0 %", "100.0 %")


def test_events_are_lettered_and_close_ones_share_a_letter():
    figure = share_chart([week(i) for i in range(20)], EVENTS)
    said = texts(figure.svg)
    assert {"A", "B"} <= set(said) and "C" not in said
    key = " ".join(said)
    assert (
        "A · 20 Jan 2026 to 22 Jan 2026: form changed (Hazel); instruments delivered (Hazel); session held"
        in key
    )
    assert "B · 04 Feb 2026: session held" in key
    assert {"A", "B", "C", "D"} <= set(texts(share_chart(WEEKS, EVENTS).svg))
    assert "far away" not in figure.svg and "the day before" not in figure.svg
    assert figure.sentence.endswith("B, 04 Feb 2026: session held.")


def test_an_event_stands_at_its_day():
    (a,) = [w for w in written(share_chart(WEEKS, EVENTS[:1]).svg) if w.text == "A"]
    places = marks(share_chart(WEEKS, EVENTS[:1]).svg, fill=ACCENT)
    per_day = (places[1][0] - places[0][0]) / 7
    # Middle of the first week is day 3.5; noon of 20 January is day 15.5.
    assert a.x - places[0][0] == pytest.approx(12 * per_day, abs=0.5)


@pytest.mark.parametrize("weeks", [5, 26, 53, 110])
def test_nothing_is_printed_over_anything(weeks):
    rows = [week(i, 0.04 + 0.01 * (i % 3), n=90 + 37 * i) for i in range(weeks)]
    days = [1, 2, 3, 20, 22, 24, 25, 26, 29, 40, 60, 61, 75, 90, 120, 150, 300, 301, 302, 350]
    events = [
        {"date": (date(2026, 1, 5) + timedelta(days=d)).isoformat(), "what": f"event {d}", "ward": "Hazel"}
        for d in days
    ]
    assert printed_over(share_chart(rows, events, subject="Hazel").svg) == []


@pytest.mark.parametrize("weeks", [12, 26, 40, 53])
def test_the_last_week_is_always_labelled(weeks):
    rows = [week(i) for i in range(weeks)]
    label = f"{rows[-1]['start']:%d %b} 500"
    assert any(t.startswith(label) for t in texts(share_chart(rows).svg))


def test_the_scale_ends_a_little_over_the_highest_share():
    ((_, zero),) = [(w.x, w.y) for w in written(share_chart(WEEKS).svg) if w.text == "0 %"]
    highest = min(y for _, y in marks(share_chart(WEEKS).svg, fill=ACCENT))
    assert 0.8 * 200 < zero - highest < 200


def test_the_key_of_events_stays_within_the_chart():
    event = {"date": "2026-01-20", "what": "form changed: " + "one word after another " * 12, "ward": "Hazel"}
    assert all(w.half < 310 for w in written(share_chart(WEEKS, [event]).svg))


def test_events_beyond_the_most_are_counted():
    rows = [week(i) for i in range(53)]
    events = [
        {"date": f"{date(2026, 1, 10) + timedelta(days=30 * i)}", "what": f"event {i}"} for i in range(12)
    ]
    key = " ".join(texts(share_chart(rows, events).svg))
    assert "event 4 (4 earlier events not marked)" in key
    assert "event 3" not in key


def test_months_are_as_long_as_they_are_and_the_last_is_labelled():
    rows = [{**week(0), "start": date(2025 + m // 12, m % 12 + 1, 1), "n": 1000 + m} for m in range(15)]
    figure = share_chart(rows, period="month")
    xs = [x for x, _ in marks(figure.svg, fill=ACCENT)]
    # Middles: January 15.5, February 45, March 74.5 days.
    assert (xs[1] - xs[0]) / (xs[2] - xs[1]) == pytest.approx(29.5 / 29.5, abs=0.01)
    assert (xs[3] - xs[2]) / (xs[1] - xs[0]) == pytest.approx(30.5 / 29.5, abs=0.01)
    assert any("1,014" in t for t in texts(figure.svg))
    assert sum(t.startswith("1,0") or "1,0" in t for t in texts(figure.svg)) >= 7
    assert "by month" in figure.sentence and figure.table.headings[0] == "month from"


def test_a_tiny_weeks_wide_limits_do_not_squash_the_others():
    rows = [week(i) for i in range(12)] + [week(12, n=10, high=0.9)]
    with_tiny, without = (marks(share_chart(r).svg, fill=ACCENT)[0] for r in (rows, rows[:12]))
    assert with_tiny[1] == pytest.approx(without[1], abs=1)


def test_without_limits_it_says_that_they_cannot_be_told():
    rows = [week(i, low=None, high=None) for i in range(5)]
    figure = share_chart(rows)
    assert "too few to tell a usual range" in figure.sentence
    assert figure.table.rows[0][3:5] == ("–", "–")
    assert not any(t.startswith("usual") for t in texts(figure.svg))


@pytest.mark.parametrize("rows", [[], [week(0, n=9)]])
def test_nothing_to_draw_is_said(rows):
    figure = share_chart(rows, EVENTS)
    assert figure.sentence.endswith("too few readings in any week to draw.")
    assert "too few readings to draw" in texts(figure.svg)
    assert len(figure.table.rows) == len(rows)


def test_how_often_it_is_wrong_is_part_of_the_sentence():
    said = "on average one false alarm in 370 points"
    assert said in share_chart(WEEKS, caveat=said).sentence


@pytest.mark.parametrize("figure", [share_chart(WEEKS, EVENTS), share_chart([])])
def test_it_may_stand_on_a_strict_page(figure):
    assert strict(figure.svg)
    assert all(len(row) == len(figure.table.headings) for row in figure.table.rows)
