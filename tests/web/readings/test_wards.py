"""All wards without a rank, and one ward's page: what was seen, what to ask, what could not be told."""

import html
import io
import re

import fenwick_vale
import openpyxl
import pytest
from django.utils.html import strip_tags
from pypdf import PdfReader

import invented_wards as told

BLAMING = re.compile(
    r"\b(fake|falsif|invent|fabricat|fraud|cheat|made up|worst|best|rank(ed|ing))", re.IGNORECASE
)


def text(answer):
    return " ".join(answer.content.decode().split())


def said(answer):
    """What a reader sees of the page, without its drawings' marks."""
    page = answer.content.decode()
    main = page[page.index("<main") : page.index("</main>")].replace("<", " <")
    return re.sub(r" ([.,;:)])", r"\1", " ".join(html.unescape(strip_tags(main)).split()))


SPIKE = fenwick_vale.LARCH | {"kind": "value-spike", "sentence": "Larch: 36.0 °C was charted far too often."}


@pytest.fixture
def reviewed(ines):
    """A review of the cast's wards, made with people; a spike and missing sites found on Larch."""
    fenwick_vale.an_import()
    fenwick_vale.a_review(SPIKE, fenwick_vale.LARCH, fenwick_vale.PERSON, people=True)
    return ines


def test_without_a_review_the_page_says_where_to_go(ines):
    assert "No ward has been looked at yet" in text(ines.get("/wards/"))


def test_a_review_from_before_there_was_an_audit_has_no_wards(ines):
    from browline.store.models import Review

    fenwick_vale.an_import()
    made = fenwick_vale.a_review()
    Review.objects.filter(pk=made.pk).update(
        supplement={k: v for k, v in made.supplement.items() if k != "audit"}
    )
    assert "No ward has been looked at yet" in text(ines.get("/wards/"))
    assert 'href="/wards/Larch/"' not in text(ines.get("/"))
    assert ines.get("/wards/Larch/").status_code == 404


def test_wards_stand_by_name(reviewed):
    page = text(reviewed.get("/wards/"))
    places = [page.index(f'href="/wards/{name}/"') for name in ("Holly", "Larch", "Maple", "Rowan", "Yew")]
    assert places == sorted(places)
    assert "By name, not by rank" in page


def test_each_ward_has_its_readings_and_how_the_tests_ended(reviewed):
    page = said(reviewed.get("/wards/"))
    assert "Larch 2,400 One value charted far too often (36.0 °C)" in page
    assert "Rowan 2,400 Readings without a site" in page
    assert "Maple 2,400 Nothing, of 14 things looked for" in page
    assert "Holly 60 Too few to tell" in page
    assert "Yew fewer than 10 Too few to tell" in page


def test_what_no_ward_could_be_asked_is_said_once(reviewed):
    page = said(reviewed.get("/wards/"))
    assert page.count("whether children under 5 are read by mouth or rectum") == 1
    assert "or too few wards can be compared: whether children under 5" in page


def test_instruments_stand_beside_the_values_unlikely_to_have_been_measured(reviewed):
    page = text(reviewed.get("/wards/"))
    assert "Missing instruments make bad data." in page
    assert "instruments of the ward, per ten patients" in page


def test_a_wards_page_opens_with_what_was_seen_and_what_was_not(reviewed):
    page = said(reviewed.get("/wards/Larch/"))
    assert "2,400 readings; 1 thing was seen that is worth a question." in page
    assert "13 looked for and not seen and 1 could not be asked of these charts" in page


def test_innocent_causes_stand_before_what_to_ask_and_what_to_do(reviewed):
    page = said(reviewed.get("/wards/Larch/"))
    order = [
        "36.0 °C was charted 240 times in 2,400",
        "unlikely to have all been measured",
        "The form offers this value by default",
        "No instrument at hand",
        "Ask: Readings charted as 36.0 °C fell from 12.7 % to 2.6 % in the week of 06 Apr 2026;",
        "Do: Ask the ward how",
        "bring a spare if not",
    ]
    assert [page.index(words) for words in order] == sorted(page.index(words) for words in order)


def test_the_weeks_are_drawn_with_the_wards_and_the_hospitals_events(reviewed):
    page = text(reviewed.get("/wards/Larch/"))
    assert "Week by week: readings charted as 36.0 °C" in page
    assert page.count("12.7 % to 2.6 %") == 1, "the fall is said once, by the question"
    assert told.FORM["what"] in page and told.ALL["what"] in page and told.ELSEWHERE["what"] not in page


def test_every_test_has_its_answer(reviewed):
    page = said(reviewed.get("/wards/Maple/"))
    assert "Readings without a site Not seen; 2.4 % or more would be, 8 times in 10." in page
    assert "Oral or rectal readings of children under 5 Not asked:" in page
    assert "nothing was seen that asks for a question" in page


def test_the_footnote_quotes_a_size_of_its_own_page(ines, monkeypatch):
    small = told.signal("pace", "not-seen", 2400, ward="Maple", least=0.031)
    rest = [told.signal(t, "too-few", ward="Maple") for t in told.TESTS if t not in ("pace", "unit-pattern")]
    given = told.supplement(told.a_ward("Maple", small, *rest, of=told.weeks([1] * 24)))
    monkeypatch.setattr(fenwick_vale, "SUPPLEMENT", given)
    fenwick_vale.a_review(fenwick_vale.FS07)
    assert "“3.1 % or more would be, 8 times in 10” says how large" in said(ines.get("/wards/Maple/"))


def test_what_stayed_open_never_reads_as_found(reviewed):
    page = said(reviewed.get("/wards/"))
    assert "Too few to tell: whether one value is charted far too often" in page
    assert "whether there are fewer fevers than on wards of its kind" in page
    assert "; fewer fevers than" not in page
    assert "says how large" not in said(reviewed.get("/wards/Holly/")), "no size stands there to quote"


def test_what_could_not_be_told_is_not_put_down_to_few_readings(reviewed):
    assert "Of the tests, 14 looked for and not seen" in said(reviewed.get("/wards/Maple/"))
    assert "14 could not be told and 1 could not be asked" in said(reviewed.get("/wards/Holly/"))
    assert "so few readings" not in said(reviewed.get("/wards/Holly/"))


def test_no_false_alarms_are_counted_where_no_usual_range_can_be_told(reviewed):
    assert "false alarm" not in said(reviewed.get("/wards/Holly/"))
    assert "false alarm" in text(reviewed.get("/wards/Rowan/"))


def test_a_ward_of_few_readings_says_too_few_to_tell(reviewed):
    page = said(reviewed.get("/wards/Holly/"))
    assert "Too few weeks to tell whether it changes" in page
    assert page.count("Too few to tell") >= 14 and "nothing was seen" not in page
    assert "60 readings: too few to tell, which says nothing for or against the ward." in page


def test_under_ten_readings_every_number_is_withheld(reviewed):
    page = said(reviewed.get("/wards/Yew/"))
    assert "Too few to tell: fewer than 10 readings" in page
    assert "50.0 %" not in page and "3 of 6" not in page
    assert "Sheet for the ward" not in page and "Draw them" not in page
    assert reviewed.get("/wards/Yew/sheet.pdf").status_code == 422


def test_no_person_stands_on_any_page_of_the_wards(reviewed):
    for address in ("/wards/", "/wards/Larch/", "/wards/Maple/?people=1", "/wards/Yew/"):
        page = reviewed.get(address).content.decode()
        assert "00417" not in page and "Offer an observed" not in page, address


def test_no_word_of_blame(reviewed):
    for address in ("/wards/", "/wards/Larch/", "/wards/Rowan/", "/wards/Yew/"):
        page = said(reviewed.get(address)).replace("By name, not by rank", "")
        assert not BLAMING.search(page), (address, BLAMING.search(page))


def test_the_usual_caution_stands_there(reviewed):
    assert "escalated whatever the number says" in text(reviewed.get("/wards/Larch/"))


def test_what_was_seen_leads_to_its_finding_and_other_findings_are_listed(reviewed):
    page = text(reviewed.get("/wards/Larch/"))
    assert '<a href="/findings/1/">Enter what came of it</a>' in page
    assert "Also found" in page and 'href="/findings/2/"' in page


def test_today_the_finding_and_readings_lead_to_the_ward(reviewed):
    for address in ("/", "/findings/1/"):
        assert 'href="/wards/Larch/"' in text(reviewed.get(address)), address
    assert 'href="/wards/"' in text(reviewed.get("/readings/"))
    assert 'href="/readings/" aria-current="true"' in text(reviewed.get("/wards/Larch/"))


def test_an_unknown_ward_is_not_there(reviewed):
    assert reviewed.get("/wards/Elm/").status_code == 404
    assert reviewed.get("/wards/Elm/sheet.pdf").status_code == 404
    assert reviewed.get("/wards/Larch/rows/pace.xlsx").status_code == 404


@pytest.mark.parametrize("name", ["5/6 West", "A&E #2 100%", "<b>Ash</b>", "sheet.pdf"])
def test_a_ward_may_be_called_anything(ines, name, monkeypatch):
    given = told.supplement(told.a_ward(name, told.spike(name), of=told.FELL))
    monkeypatch.setattr(fenwick_vale, "SUPPLEMENT", given)
    fenwick_vale.a_review(fenwick_vale.FS07)
    page = text(ines.get("/wards/"))
    address = re.search(r'<th scope="row" role="rowheader"><a href="([^"]+)"', page)[1]
    shown = ines.get(html.unescape(address))
    assert shown.status_code == 200 and "<b>Ash" not in shown.content.decode()
    sheet = re.search(r'class="button" href="([^"]+sheet.pdf)"', text(shown))[1]
    assert ines.get(html.unescape(sheet))["Content-Type"] == "application/pdf"


def test_the_sheet_is_handed_out(reviewed):
    answer = reviewed.get("/wards/Larch/sheet.pdf")
    assert answer["Content-Disposition"] == 'attachment; filename="ward-sheet.pdf"'
    (page,) = PdfReader(io.BytesIO(answer.content)).pages
    assert "Larch: how our temperatures are charted" in " ".join(page.extract_text().split())


def row(i):
    """A reading of Larch (even) or Maple; every second one of Larch is 36.0."""
    value = 36.0 if i % 4 == 0 else 36.4 + i % 9 / 10
    when = f"2026-03-{i % 28 + 1:02d} {8 + i % 9:02d}:{i % 50 + 5:02d}"
    return f"V{i % 7},{when},{value:.1f},{'' if i % 10 == 0 else 'Oral'},{('Larch', 'Maple')[i % 2]}\n"


CHART = "stay,time,temp,site,ward\n" + "".join(map(row, range(80)))


@pytest.fixture
def charted(book, reviewed, tmp_path):
    """Eighty readings behind that review."""
    from browline.services.imports.run import import_file

    path = tmp_path / "export.csv"
    path.write_text(CHART)
    import_file(book, path)
    return reviewed


def cells(answer):
    sheet = openpyxl.load_workbook(io.BytesIO(answer.content)).active
    return list(sheet.iter_rows(values_only=True))[1:]


def test_what_was_seen_opens_to_the_rows_behind_it(charted):
    rows = cells(charted.get("/wards/Larch/rows/value-spike.xlsx"))
    at_36 = [i + 2 for i in range(80) if i % 2 == 0 and i % 4 == 0]
    assert [row[2] for row in rows] == at_36
    assert {row[0] for row in rows} == {"Larch"}


def test_the_look_back_list_of_a_heaped_value_holds_only_the_rows_at_it(charted):
    rows = cells(charted.get("/findings/1/look-back.xlsx"))
    assert [row[2] for row in rows] == [i + 2 for i in range(0, 80, 4)]


def test_charts_are_drawn_by_lot_without_a_patient(charted):
    answer = charted.post("/wards/Maple/charts.xlsx", {"count": 10})
    rows = cells(answer)
    assert sum(row[1] == "look at" for row in rows) == 10
    assert {row[5] for row in rows} == {"Maple"} and {row[6] for row in rows} <= {None, ""}
    assert re.search(r"charts-seed-\d+\.xlsx", answer["Content-Disposition"])
    assert not any(re.fullmatch(r"V\d", str(cell)) for row in rows for cell in row)


@pytest.mark.parametrize("count", ["", "3", "many", "100000"])
def test_a_number_of_charts_that_makes_no_sense_is_asked_for_again(charted, count):
    answer = charted.post("/wards/Maple/charts.xlsx", {"count": count})
    assert answer.status_code == 422 and "errorlist" in text(answer)


def test_a_stranger_sees_nothing(visitor, reviewed):
    reviewed.logout()
    for address in ("/wards/", "/wards/Larch/", "/wards/Larch/sheet.pdf"):
        assert visitor.get(address).status_code == 403
