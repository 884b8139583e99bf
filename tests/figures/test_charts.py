"""What the charts draw, said and withheld; and that they may stand inline on a strict page."""

import re
from xml.etree import ElementTree as ET

import pytest

from browline import figures
from browline.documents.charts import IntervalMark, StayReading
from browline.documents.supplement import EventRow, MonthRow, WeekRow
from browline.figures.drawing import settle
from browline.figures.ink import ACCENT, CATEGORIES, INK, QUIET, SHAPES, WARNING
from documents import rows


def run_chart(months, events=()):
    return figures.run_chart(rows(MonthRow, months), rows(EventRow, events))


def weekly_chart(points, *words, **options):
    return figures.weekly_chart(rows(WeekRow, points), *words, **options)


def interval_chart(marks, *numbers):
    return figures.interval_chart(rows(IntervalMark, marks), *numbers)


def stay_chart(readings):
    return figures.stay_chart(rows(StayReading, readings))


SVG = "{http://www.w3.org/2000/svg}"
MONTHS = [
    {"month": "2026-01", "readings": 1000, "unreliable": 100, "why": {}},
    {"month": "2026-02", "readings": 2000, "unreliable": 400, "why": {}},
    {"month": "2026-03", "readings": 4, "unreliable": 3, "why": {}},
    {"month": "2026-04", "readings": 1500, "unreliable": 450, "why": {}},
]
EVENTS = [
    {"date": "2026-02-14", "what": "form <b>changed</b> & printed", "ward": "Hazel"},
    {"date": "2031-01-01", "what": "far away", "ward": ""},
]
WEEKS = [
    {"week": "2026-01-05", "n": 40, "mean_c": 0.0, "low_c": -0.1, "high_c": 0.1},
    {"week": "2026-01-12", "n": 6, "mean_c": 2.22, "low_c": 2.0, "high_c": 2.5},
    {"week": "2026-01-19", "n": 50, "mean_c": -0.5, "low_c": -0.6, "high_c": -0.4},
]
ROWS = [
    {"name": "FS-07", "low": -0.5, "estimate": -0.4, "high": -0.3, "n": 400, "flagged": True},
    {"name": "FS-08", "low": -0.1, "estimate": 0.0, "high": 0.1, "n": 300},
    {"name": "FS-09", "low": None, "estimate": None, "high": None, "n": 5},
]
STAY = [
    {"time": "2026-03-07T14:05:00", "value_c": 38.4, "site": "temporal"},
    {"time": "2026-03-07T10:00:00", "value_c": 37.0, "site": "oral"},
    {"time": "2026-03-07T18:00:00", "value_c": 37.9},
]
DRAWN = {
    "run": lambda: run_chart(MONTHS, EVENTS),
    "weekly": lambda: weekly_chart(WEEKS, "FS-07", "2026-01-16", 0.3),
    "plain weekly": lambda: weekly_chart(WEEKS, "Hazel", unit="F"),
    "interval": lambda: interval_chart(ROWS, 0.3),
    "stay": lambda: stay_chart(STAY),
    "empty run": lambda: run_chart([]),
    "empty weekly": lambda: weekly_chart([], "FS-07"),
    "empty interval": lambda: interval_chart([]),
    "empty stay": lambda: stay_chart([]),
}


@pytest.fixture(params=DRAWN)
def figure(request):
    return DRAWN[request.param]()


def texts(svg: str) -> list[str]:
    return ["".join(t.itertext()) for t in ET.fromstring(svg).iter(f"{SVG}text")]


def marks(svg: str) -> list[tuple[float, float]]:
    """Where the filled marks in the accent colour stand."""
    places = [e.get("transform") for e in ET.fromstring(svg).iter(f"{SVG}path") if e.get("fill") == ACCENT]
    return [tuple(map(float, re.findall(r"-?[\d.]+", place))) for place in places if place]


def test_a_figure_has_a_drawing_a_sentence_and_a_table(figure):
    assert figure.sentence.endswith(".")
    assert all(len(row) == len(figure.table.headings) for row in figure.table.rows)


def test_a_drawing_may_stand_under_a_policy_without_inline_styles(figure):
    root = ET.fromstring(figure.svg)
    for element in root.iter():
        assert element.tag not in (f"{SVG}style", f"{SVG}script", f"{SVG}foreignObject", f"{SVG}a")
        assert not [name for name in element.attrib if name == "style" or name.startswith("on")]


def test_a_drawing_is_one_picture_with_title_and_description(figure):
    root = ET.fromstring(figure.svg)
    named = {e.get("id"): e for e in root.iter() if e.get("id")}
    assert root.get("role") == "img"
    assert named[root.get("aria-labelledby")].text
    assert named[root.get("aria-describedby")].text == figure.sentence
    assert not [e for e in list(root.iter())[1:] if e.get("role") or e.get("aria-label")]


def test_ids_of_two_drawings_differ_and_every_reference_is_kept():
    svgs = [make().svg for make in DRAWN.values()]
    ids = [set(re.findall(r'\bid="([^"]+)"', svg)) for svg in svgs]
    for svg, own in zip(svgs, ids, strict=True):
        assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= own
    assert sum(map(len, ids)) == len(set.union(*ids))


def test_ids_and_references_inside_a_drawing_become_its_own():
    group = '<g style="fill: red" clip-path="url(#clip0)"/>'
    raw = f'<svg xmlns="http://www.w3.org/2000/svg"><clipPath id="clip0"/>{group}</svg>'
    one, two = (settle(raw, title, "A sentence.") for title in ("one", "two"))
    own = re.search(r'clipPath id="([^"]+)"', one).group(1)
    assert own.endswith("-clip0")
    assert f'clip-path="url(#{own})"' in one
    assert 'fill="red"' in one
    assert own not in two


def test_the_run_chart_places_shares_in_proportion():
    (x1, y1), (x2, y2), (x4, y4) = marks(run_chart(MONTHS).svg)
    assert y1 - y2 == pytest.approx(y2 - y4)  # 10 %, 20 %, 30 %
    assert y1 > y2 > y4
    assert x4 - x2 == pytest.approx(2 * (x2 - x1), abs=0.1)  # the withheld month keeps its place


def test_the_run_chart_prints_denominators_and_withholds_a_small_month():
    figure = run_chart(MONTHS, EVENTS)
    said = texts(figure.svg)
    assert any("2,000" in t for t in said)
    assert figure.table.rows[1] == ("Feb 2026", "2,000", "400", "20.0 %")
    assert figure.table.rows[2] == ("Mar 2026", "fewer than 10", "–", "–")
    assert "75" not in " ".join(said) + figure.sentence


def test_denominators_of_a_long_series_stay_apart_and_include_the_last():
    years = [
        {**MONTHS[1], "month": f"{2020 + i // 12}-{i % 12 + 1:02d}", "readings": 2000 + i} for i in range(60)
    ]
    said = [t for t in texts(run_chart(years).svg) if "2,0" in t]
    assert 10 <= len(said) <= 15
    assert "2,059" in said[-1]


def test_an_event_is_lettered_explained_and_shown_as_written():
    figure = run_chart(MONTHS, EVENTS)
    assert "A" in texts(figure.svg)
    assert "A · 14 Feb 2026: form <b>changed</b> & printed (Hazel)" in texts(figure.svg)
    assert "far away" not in figure.svg
    assert "A, 14 Feb 2026" in figure.sentence


def test_events_on_one_day_share_a_letter():
    two = [{"date": "2026-02-14", "what": "training began", "ward": w} for w in ("Elm", "Hazel")]
    assert "A · 14 Feb 2026: training began (Elm, Hazel)" in texts(run_chart(MONTHS, two).svg)


def test_the_weekly_chart_withholds_small_weeks():
    figure = weekly_chart(WEEKS, "FS-07", "2026-01-16", 0.3)
    assert len(marks(figure.svg)) == 2
    assert figure.table.rows[1] == ("12 Jan 2026", "fewer than 10", "–", "–", "–")
    assert "2.2" not in figure.sentence
    assert "since 16 Jan 2026" in texts(figure.svg)


def test_a_difference_turns_into_fahrenheit_by_its_factor_and_a_temperature_by_the_scale():
    assert weekly_chart(WEEKS, "FS-07", tolerance=0.3, unit="F").table.rows[2][2] == "−0.90 °F"
    level = [{**WEEKS[0], "mean_c": 37.0}]
    assert weekly_chart(level, "Hazel", unit="F").table.rows[0][2] == "98.6 °F"


def test_charts_with_one_reach_share_one_scale():
    charts = [
        weekly_chart([{**w, "mean_c": m} for w in WEEKS], "x", tolerance=0.3, reach=1.0) for m in (0.1, 0.6)
    ]
    (_, low), (_, high) = (marks(c.svg)[0] for c in charts)
    assert low - high == pytest.approx(0.5 / 2.0 * 190, abs=0.1)


def test_the_interval_chart_tells_flags_in_words_and_leaves_out_small_rows():
    figure = interval_chart(ROWS, 0.3)
    assert "n 400 · flagged" in texts(figure.svg)
    assert "FS-09" not in texts(figure.svg)
    assert figure.table.rows[2][1:4] == ("fewer than 10", "–", "–")


def test_the_stay_is_in_order_of_time_and_tells_sites_by_shape():
    figure = stay_chart(STAY)
    assert [row[0] for row in figure.table.rows] == [
        "07 Mar 2026 10:00",
        "07 Mar 2026 14:05",
        "07 Mar 2026 18:00",
    ]
    assert figure.table.rows[2][2] == "not charted"
    paths = [e for e in ET.fromstring(figure.svg).iter(f"{SVG}path") if e.get("fill") in CATEGORIES]
    assert len({e.get("fill") for e in paths}) == 3
    assert len({e.get("d") for e in paths}) == 6  # three in the chart, three in its key


def test_texts_that_are_no_xml_do_not_break_a_drawing():
    """Seen: one such character in a drawn name ended the whole process."""
    name = "ward\x07\ud800\uffff 5"
    ET.fromstring(weekly_chart(WEEKS, name, tolerance=0.3).svg)
    ET.fromstring(interval_chart([{**ROWS[0], "name": name}]).svg)
    drawn = run_chart(MONTHS, [{**EVENTS[0], "what": name, "ward": ""}])
    assert "A · 14 Feb 2026: ward 5" in [" ".join(t.split()) for t in texts(drawn.svg)]


def luminance(colour: str) -> float:
    """Relative luminance, W3C Web Content Accessibility Guidelines 2.2, definition of that name."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


@pytest.mark.parametrize(("colour", "least"), [(INK, 4.5), (QUIET, 4.5), (ACCENT, 3.0), (WARNING, 3.0)])
def test_colours_stand_out_from_paper(colour, least):
    """4.5 for text, 3 for lines and marks: the same guidelines, 1.4.3 and 1.4.11."""
    assert 1.05 / (luminance(colour) + 0.05) >= least


def test_each_category_has_a_shape_of_its_own():
    assert len(set(SHAPES)) == len(SHAPES) >= len(CATEGORIES)
