"""A roster from the terminal: kinds that exist are named, and its receipt says what is left to say elsewhere."""

from browline.cli.main import main

ROSTER = (
    'Name,Ward,02/03/2026,03/03/2026,04/03/2026\n"Dunmore, Dev",Night A,N,N,\n"Dunmore, Dev",Early B,E,,E\n'
)


def test_a_kind_that_is_none_is_refused_with_all_that_are(book, export, capsys):
    assert main(["import", str(export(ROSTER)), "--as", "rooster", "--book", str(book.folder)]) == 2
    said = capsys.readouterr().err
    assert "'rooster' is not a kind" in said and "roster" in said.split("The kinds are")[1]


def test_the_receipt_of_a_roster_has_no_empty_line_of_headings(book, export, capsys):
    assert main(["import", str(export(ROSTER)), "--book", str(book.folder)]) == 0
    said = capsys.readouterr().out
    assert "read:" not in said and "Read as staff down and days across" in said


def test_a_second_line_of_one_name_is_set_aside_and_she_is_told_where_to_say_whose_it_is(
    book, export, capsys
):
    assert main(["import", str(export(ROSTER)), "--book", str(book.folder)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "4 rows = 2 taken + 0 already here or sent twice + 2 set aside" in said
    assert "(two-rows-one-name; rows 3)" in said
    assert "Bring the file on the Roster page and say there whose they are" in said
