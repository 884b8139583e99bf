"""Whether 03/05 is March or May is each file's own matter: its rows say it, or she does."""

from datetime import datetime

import pytest
from charts import chart, kept

from browline.errors import Undecided
from browline.services.imports.look import preview
from browline.services.imports.mapping import FileAnswers
from browline.services.imports.run import import_file

HEAD = "stay,time,value"
SETTLED_MDY = chart("V1,04/25/2026 06:00,36.6", "V2,04/26/2026 06:00,36.7", heading=HEAD)
SETTLED_DMY = chart("V1,25/04/2026 06:00,36.6", "V2,26/04/2026 06:00,36.7", heading=HEAD)
OPEN = chart("V3,03/05/2026 06:00,36.6", "V4,04/05/2026 06:00,36.7", heading=HEAD)


def test_an_earlier_files_order_decides_nothing_for_a_later_one(book, export):
    """3 May became 5 March without a word."""
    import_file(book, export(SETTLED_MDY))
    with pytest.raises(Undecided, match=r"--date-order dmy or --date-order mdy.*Readings page") as asked:
        import_file(book, export(OPEN, "later.csv"))
    assert "An earlier file with these headings was read as month, day, year." in asked.value.question
    assert len(kept(book)) == 2


def test_what_she_says_is_done_for_that_file_only(book, export):
    import_file(book, export(SETTLED_MDY))
    import_file(book, export(OPEN, "later.csv"), answers=FileAnswers(date_order="dmy"))
    assert [t for _, t, *_ in kept(book)][2:] == [datetime(2026, 5, 3, 6), datetime(2026, 5, 4, 6)]
    with pytest.raises(Undecided):
        import_file(book, export(OPEN.replace("06:00", "07:00"), "third.csv"))


def test_the_files_own_rows_go_before_an_earlier_order_and_before_an_answer(book, export):
    import_file(book, export(SETTLED_MDY))
    import_file(book, export(SETTLED_DMY, "later.csv"), answers=FileAnswers(date_order="mdy"))
    assert {t.month for _, t, *_ in kept(book)} == {4}


def test_two_figures_for_the_year_are_asked_about_although_the_earlier_file_began_with_the_year(book, export):
    import_file(book, export(chart("V1,2026-04-25 06:00,36.6", heading=HEAD)))
    with pytest.raises(Undecided):
        import_file(book, export(chart("V2,03/05/07 06:00,36.7", heading=HEAD), "later.csv"))


def test_looking_proposes_the_earlier_order_and_chooses_none(book, export):
    import_file(book, export(SETTLED_MDY))
    (seen,) = preview(book, export(OPEN, "later.csv"))
    assert seen.guess.mapping.date_order is None
    (question,) = seen.questions
    assert "read as month, day, year" in question.text and set(question.choices) == {"dmy", "mdy"}


def test_an_order_remembered_by_an_earlier_version_is_proposed_and_not_applied(book, export):
    from browline.intake import Mapping, signature
    from browline.store.models import SavedMapping

    old = Mapping("readings", {"stay": "stay", "time": "time", "value": "value"}, date_order="mdy")
    SavedMapping.objects.create(signature=signature(HEAD.split(",")), kind="readings", toml=old.as_toml())
    with pytest.raises(Undecided, match="month, day, year"):
        import_file(book, export(OPEN))


def test_dates_of_a_register_are_settled_by_its_rows_and_asked_about_too(book, export):
    from browline.store.models import Instrument

    head = "instrument,unit,in use from"
    import_file(book, export(chart("FS-01,C,25/04/2025", "FS-02,C,03/05/2025", heading=head)))
    assert str(Instrument.objects.get(name="FS-02").start) == "2025-05-03"
    with pytest.raises(Undecided):
        import_file(book, export(chart("FS-03,C,03/05/2025", heading=head), "later.csv"))


def test_the_order_a_file_was_read_by_stands_with_its_import(book, export):
    from browline.store.models import Import

    import_file(book, export(SETTLED_DMY))
    assert Import.objects.get().mapping["date_order"] == "dmy"
