"""The report's block "Were these values measured?": short, by ward, with what could not be told."""

import invented_wards as told
from browline.services.review.report.document import Grid
from browline.services.review.report.measured import TITLE, measured_sections
from documents import report_from, supplement_from


def blocks(*wards):
    (section,) = measured_sections(supplement_from(told.supplement(*wards)))
    return section.blocks


def test_it_opens_with_the_share_its_interval_and_how_many_wards_to_ask():
    assert blocks(told.larch(), told.maple(), told.yew())[0].text == (
        "4.0 % (3.2 to 4.8 %) of 4,800 values are unlikely to have all been measured as charted; 1 of 2 wards has "
        "something worth a question."
    )


def test_each_thing_seen_has_its_ward_size_interval_and_readings():
    (grid,) = [b for b in blocks(told.rowan(), told.larch(), told.maple()) if isinstance(b, Grid)]
    assert grid.rows == (
        (
            "Larch",
            "one value charted far too often (36.0 °C)",
            "8.0 %",
            "6.4 to 9.6 %",
            "2,400",
            "no change told",
        ),
        ("Rowan", "readings without a site", "20.0 %", "16.0 to 24.0 %", "2,400", "no change told"),
    )


def test_what_shares_are_of_is_said_once_beneath_the_table():
    said = [getattr(b, "text", "") for b in blocks(told.larch(), told.maple())]
    assert sum("the readings that each test could look at" in text for text in said) == 1


def test_since_when_is_told_and_that_it_is_less_where_it_fell():
    from datetime import date

    def since(before, after):
        turned = told.seen(
            "value-spike", 0.08, "Larch", label="36.0 °C", turned=date(2026, 4, 6), before=before, after=after
        )
        (grid,) = [b for b in blocks(told.a_ward("Larch", turned, of=told.FELL)) if isinstance(b, Grid)]
        return grid.rows[0][-1]

    assert since(0.02, 0.12) == "06 Apr 2026"
    assert since(0.12, 0.02) == "less since 06 Apr 2026"


def test_one_sentence_says_what_could_not_be_told():
    said = blocks(told.larch(), told.holly())[-1].text
    assert said.startswith("Too few to tell, which says nothing for or against these wards: ")
    assert "whether one value is charted far too often (1 ward)" in said and said.endswith("; and 10 more.")


def test_with_nothing_seen_there_is_no_table():
    told_blocks = blocks(told.maple())
    assert len(told_blocks) == 2 and not any(isinstance(b, Grid) for b in told_blocks)
    assert told_blocks[0].text.startswith(
        "In 2,400 readings no value was charted or repeated more often than chance"
    )
    assert told_blocks[1].text == "Every test that could be asked had readings enough to answer."


def test_small_numbers_and_reviews_without_an_audit_say_nothing():
    assert measured_sections(supplement_from(told.supplement(told.yew()))) == []
    assert measured_sections(supplement_from({})) == []


def test_it_stands_before_the_findings_about_charting_and_leaves_page_1_as_it_was():
    with_audit, without = told.supplement(), {k: v for k, v in told.supplement().items() if k != "audit"}
    report = report_from({"limits": []}, with_audit, [], time=told.MADE)
    assert TITLE in [section.title for section in report.sections]
    assert report.first == report_from({"limits": []}, without, [], time=told.MADE).first


def test_readings_without_a_ward_are_not_counted_as_a_ward():
    from browline.audit import NOT_SAID

    alone = told.a_ward(NOT_SAID, of=told.weeks([1] * 8), quiet=False)
    (section,) = measured_sections(supplement_from(told.supplement(alone)))
    said = " ".join(block.text for block in section.blocks)
    assert "1 ward" not in said and "these wards" not in said
    assert "nothing in the readings without a ward is worth a question" in said
    (section,) = measured_sections(supplement_from(told.supplement(alone, told.maple(), told.holly())))
    said = " ".join(block.text for block in section.blocks)
    assert "0 of 2 wards have something worth a question; nothing in the readings without a ward" in said
    assert "(1 ward and readings without a ward)" in said
