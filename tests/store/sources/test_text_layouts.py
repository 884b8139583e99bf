"""Odd layouts of text: titles, two headings, none, totals, blank and ragged lines, stray quotation marks."""

import pytest


def test_title_rows_above_the_heading_are_skipped_and_counted_as_rows(written, rows):
    (table,) = written(b"Temperatures;;\nWard 5;;\n\ntime;value;ward\n10:00;36,6;5W\n11:00;37,0;5W\n").tables
    assert table.headings == ("time", "value", "ward")
    assert [r[0] for r in rows(table)] == [5, 6]
    assert any("Title rows" in note for note in table.notes)


def test_two_heading_rows_are_joined(written, rows):
    (table,) = written(
        b"Time,Temperature,,Ward\n,(C),(F),\n2026-03-01,36.6,97.9,5W\n2026-03-02,37.0,98.6,5W\n"
    ).tables
    assert table.headings == ("Time", "Temperature (C)", "Temperature (F)", "Ward")
    assert [r[0] for r in rows(table)] == [3, 4]


def test_without_a_heading_the_columns_are_numbered_and_no_row_is_lost(written, rows):
    (table,) = written(b"2026-03-01 10:00,36.6,oral\n2026-03-01 11:00,36.9,oral\n").tables
    assert table.headings == ("column 1", "column 2", "column 3")
    assert [r[0] for r in rows(table)] == [1, 2]


def test_totals_rows_and_rows_of_words_are_left_in(written, rows):
    (table,) = written(b"time,value,ward\n10:00,36.6,5W\n11:00,36.9,5W\nTotal,2,\n").tables
    assert rows(table)[-1] == (4, "Total", "2", None, None)


def test_blank_lines_and_rows_of_nothing_keep_the_numbering(written, rows):
    (table,) = written(b"time,value\n10:00,36.6\n\n11:00,36.9\n,\n\r\n12:00,37.0\n").tables
    assert [(r[0], r[1]) for r in rows(table)] == [(2, "10:00"), (4, "11:00"), (7, "12:00")]


def test_short_and_long_rows_stay_and_say_so(written, rows):
    (table,) = written(b"time,value,ward\n10:00,36.6,5W\n11:00,36.9\n12:00,36,9,5W\n13:00,37.0,5W\n").tables
    assert rows(table) == [
        (2, "10:00", "36.6", "5W", None),
        (3, "11:00", "36.9", None, "short"),
        (4, "12:00", "36", "9,5W", "long"),
        (5, "13:00", "37.0", "5W", None),
    ]


@pytest.mark.parametrize("heading", [b"time,value,ward", b"time,value,ward,"])
def test_a_delimiter_at_the_end_of_every_row_is_no_surplus(heading, written, rows):
    (table,) = written(heading + b"\n10:00,36.6,5W,\n11:00,36.9,5W,\n").tables
    assert table.headings[:3] == ("time", "value", "ward")
    assert [(r[0], r[3], r[-1]) for r in rows(table)] == [(2, "5W", None), (3, "5W", None)]


def test_a_line_end_in_quotes_is_one_row(written, rows):
    (table,) = written(b'time,value,note\n10:00,36.6,"a\nb\r\n\nc"\n11:00,36.9,\n').tables
    assert rows(table) == [(2, "10:00", "36.6", "a\nb\r\n\nc", None), (3, "11:00", "36.9", None, None)]


def test_a_quotation_mark_that_never_closes_swallows_no_row(written, rows):
    lines = [b"time,value,ward", b'10:00,36.6,"5W', *[b"11:00,36.9,5W"] * 2000]
    found = rows(written(b"\n".join(lines)).tables[0])
    assert found[0] == (2, "10:00", "36.6", '"5W', "quote")
    assert [r[0] for r in found] == list(range(2, 2003))


def test_two_stray_quotation_marks_do_not_join_their_rows(written, rows):
    found = rows(written(b'time,value,ward\n"10:00,36.6,5W\n"11:00,36.9,5W\n12:00,37.0,5W\n').tables[0])
    assert [r[0] for r in found] == [2, 3, 4]
    assert [r[-1] for r in found] == ["quote", "quote", None]


def test_a_quotation_mark_within_a_cell_is_a_character(written, rows):
    found = rows(written(b'time,value,note\n10:00,36.6,a 5" cuff\n11:00,36.9,x\n').tables[0])
    assert found == [(2, "10:00", "36.6", 'a 5" cuff', None), (3, "11:00", "36.9", "x", None)]


def test_backslashes_before_quotation_marks(written, rows):
    found = rows(written(b'time,value,note\n10:00,36.6,"a \\"b\\", c"\n11:00,36.9,"x"\n').tables[0])
    assert found[0] == (2, "10:00", "36.6", 'a "b", c', None)


def test_single_quotation_marks(written, rows):
    found = rows(written(b"'time','value','note'\n'10:00','36.6','a, b'\n'11:00','36.9','it''s'\n").tables[0])
    assert [r[3] for r in found] == ["a, b", "it's"]


def test_a_first_line_that_names_the_delimiter(written, rows):
    (table,) = written(b"sep=;\ntime;value\n10:00;36,6\n11:00;36,9\n").tables
    assert table.headings == ("time", "value")
    assert rows(table)[0] == (3, "10:00", "36,6", None)


def test_one_column_and_no_delimiter(written, rows):
    (table,) = written(b"instrument\nT-1\n\nT-2\n").tables
    assert table.headings == ("instrument",)
    assert rows(table) == [(2, "T-1", None), (4, "T-2", None)]


def test_a_heading_and_nothing_else(written, rows):
    (table,) = written(b"time,value,ward\n").tables
    assert table.headings == ("time", "value", "ward")
    assert rows(table) == []


def test_the_view_is_gone_after_a_pass_also_one_that_was_left(written, con):
    (table,) = written(b"time,value\n10:00,36.6\n11:00,36.9\n").tables
    for _ in table.blocks(con, "mine"):
        assert con.execute("SELECT count(*) FROM mine").fetchall() == [(2,)]
        break
    else:
        pytest.fail("no block came")
    import gc

    gc.collect()
    assert con.execute("SELECT count(*) FROM duckdb_tables() WHERE temporary").fetchall() == [(0,)]
    assert con.execute("SELECT count(*) FROM duckdb_views() WHERE temporary AND NOT internal").fetchall() == [
        (0,)
    ]


def test_rows_of_nothing_go_also_from_the_quick_way(written, rows):
    found = rows(written(b"time,value\n10:00,36.6\n,\n11:00,36.9\n").tables[0])
    assert [(r[0], r[1]) for r in found] == [(2, "10:00"), (4, "11:00")]


def test_a_surplus_of_nothing_is_no_surplus_among_ragged_rows(written, rows):
    told = b"time,value,ward\n10:00,36.6,5W,,\n11:00,36.9\n12:00,37.0,5W\n13:00,37.0,5W\n"
    assert [r[-1] for r in rows(written(told).tables[0])] == [None, "short", None, None]


def test_a_record_over_several_lines_cut_by_the_careful_way(written, rows, monkeypatch):
    from browline.store.sources import text

    monkeypatch.setattr(text, "PART", 40)
    lines = [b'10:00,36.6,"a\nb\nc"', b"11:00,36.9", b'12:00,37.0,"d\n\ne"', b"13:00,37.0,5W"] * 6
    found = rows(written(b"time,value,ward\n" + b"\n".join(lines)).tables[0])
    assert [r[0] for r in found] == list(range(2, 26))
    assert [r[3] for r in found[:4]] == ["a\nb\nc", None, "d\n\ne", "5W"]


def test_a_heading_over_two_lines_read_by_its_path(written, rows, monkeypatch):
    """DuckDB skips lines, not records: it sees one row more than there is, and the careful way takes over."""
    from browline.store.sources import plain

    monkeypatch.setattr(plain, "IN_MEMORY", False)
    found = rows(written(b'"chart\ntime","value"\n10:00,36.6\n11:00,36.9\n').tables[0])
    assert found == [(2, "10:00", "36.6", None), (3, "11:00", "36.9", None)]


@pytest.mark.parametrize(
    ("block", "records"),
    [
        (b'a,"b,""c""\n",d\ne,f,g\n', 2),
        (b"a,b\nc,d", 2),
        (b"a,b\r\nc,d\r\n", 2),
        (b'a,b"c,d\n', None),
        (b'a,"b"c,d\n', None),
        (b'a,"b\n', None),
        (b"a,b\r\nc,d\n", None),
        (b"a,b\rc,d\n", None),
        (b"a,b\0\n", None),
    ],
)
def test_only_well_formed_blocks_go_the_quick_way(block, records):
    from browline.store.sources import plain
    from browline.store.sources.records import Dialect

    part = plain.piece(block, Dialect(","), last=True)
    assert (part.records if part else None) == records


def test_a_block_in_which_duckdb_finds_other_records_is_not_taken(con):
    from browline.store.sources import plain, text

    layout = text.lay_out(b"time,value\n10:00,36.6\n")
    for said, taken in ((1, 1), (2, None)):
        part = plain.Piece(memoryview(b"10:00,36.6\n"), said, b"")
        assert plain.read(con, "raw", part, layout, 2, None) == taken


def test_single_quotation_marks_within_plain_text_quote_nothing(written, rows):
    found = rows(written(b"time,value,note\n10:00,','\n11:00,36.9,it's\n12:00,37.0,'a'\n").tables[0])
    assert [r[3] for r in found] == ["'", "it's", "'a'"]
