"""A file whose values had to be mended too often, or are not people's, stops with its picture; she may go on."""

import pytest
from charts import adds_up, chart, entry, kept

from browline.errors import Doubted, NotPeoples
from browline.services.imports.mapping import FileAnswers
from browline.services.imports.run import import_file

HEAD = "stay,time,Temp (C)"


def rows(values):
    return [f"V{i},2026-03-{i // 24 + 1:02d} {i % 24:02d}:10,{v}" for i, v in enumerate(values)]


CELSIUS = [f"{36 + i % 17 / 10:.1f}" for i in range(80)]
SLIPPED = [f"{97 + i % 25 / 10:.1f}" for i in range(20)]


def test_a_fifth_in_the_other_unit_stops_and_nothing_is_written(book, export):
    with pytest.raises(Doubted, match=r"20 of 100 values.*36 to 37 °C: .*--these-are-people"):
        import_file(book, export(chart(*rows(CELSIUS + SLIPPED), heading=HEAD)))
    assert kept(book) == [] and not list(book.readings.iterdir())


def test_she_says_they_are_peoples_and_every_reading_is_taken(book, export):
    made = import_file(
        book, export(chart(*rows(CELSIUS + SLIPPED), heading=HEAD)), answers=FileAnswers(people="yes")
    )
    assert entry(made)["taken"] == 100 and adds_up(made)
    assert any("You said that these are people's temperatures." in note for note in made.notes)


def test_the_answer_is_not_remembered(book, export):
    first, second = (
        chart(*rows(CELSIUS + SLIPPED), heading=HEAD),
        chart(*rows(SLIPPED + CELSIUS), heading=HEAD),
    )
    import_file(book, export(first), answers=FileAnswers(people="yes"))
    with pytest.raises(Doubted):
        import_file(book, export(second, "later.csv"))


def test_the_same_file_again_is_already_here_and_asks_nothing(book, export):
    path = export(chart(*rows(CELSIUS + SLIPPED), heading=HEAD))
    import_file(book, path, answers=FileAnswers(people="yes"))
    assert entry(import_file(book, path))["already_here"] == 100


def test_lost_points_and_one_of_two_columns_count_too(book, export):
    lost = [v.replace(".", "") for v in CELSIUS[:15]] + CELSIUS[15:]
    with pytest.raises(Doubted, match="15 of 80"):
        import_file(book, export(chart(*rows(lost), heading=HEAD)))
    pairs = [f"{v},refused" if i < 9 else f"{v},{float(v) * 1.8 + 32:.1f}" for i, v in enumerate(CELSIUS)]
    with pytest.raises(Doubted, match="9 of 80"):
        import_file(book, export(chart(*rows(pairs), heading="stay,time,Temp C,Temp F"), "pairs.csv"))


def test_decimal_commas_do_not_count(book, export):
    text = chart(*rows(v.replace(".", ",") for v in CELSIUS), heading=HEAD)
    lines = [line.replace(",", ";", 2) for line in text.splitlines()]
    assert entry(import_file(book, export("\n".join(lines))))["taken"] == 80


def test_values_that_are_not_peoples_stop_even_when_she_says_so(book, export):
    numbers = [str(i) for i in range(1, 601)]
    with pytest.raises(NotPeoples, match="temperatures of people"):
        import_file(
            book, export(chart(*rows(numbers), heading="stay,time,Temp")), answers=FileAnswers(people="yes")
        )
    assert kept(book) == [] and not list(book.readings.iterdir())


def test_another_tables_files_are_gone_when_one_stops(book, tmp_path):
    import openpyxl

    made = openpyxl.Workbook()
    for sheet, values in ((made.active, CELSIUS), (made.create_sheet(), [str(i) for i in range(1, 601)])):
        for row in (HEAD, *rows(values)):
            sheet.append(row.split(","))
    made.save(tmp_path / "two.xlsx")
    with pytest.raises(NotPeoples):
        import_file(book, tmp_path / "two.xlsx")
    assert not list(book.readings.iterdir())
