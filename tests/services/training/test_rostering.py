"""Rosters taken into a book: people, turns, codes, newer over older, nothing lost and nothing twice (trap 12)."""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from roster_cases import BRAM, DAYS, HANA, LIST, UNA, as_csv, as_workbook, grid

LONDON = "Europe/London"


@pytest.fixture
def maple(book):
    """Maple and Oak known, three people on the list, the hospital's clock in London."""
    from browline.services.book.change_preference import set_choice
    from browline.services.training.sessions.matching import put_on_list, unlisted

    set_choice("zone", LONDON, "educator")
    for identifier, name, ward in (
        ("00417", "Hana Alderley", "Maple"),
        ("00938", "Bram Copeden", "Maple"),
        ("01200", "Una Fenwick", "Oak"),
    ):
        put_on_list(unlisted(identifier).pk, name=name, ward=ward, actor="educator")
    return book


def take(book, path, rows=None, **asked):
    from browline.services.imports.run import import_file

    if rows is not None:
        path.write_text(rows if isinstance(rows, str) else as_csv(rows))
    (entry,) = import_file(book, path, kind="roster", today=DAYS[0], **asked).files
    assert entry["rows"] == entry["taken"] + entry["already_here"] + entry["set_aside"]
    return entry


def turns(identifier):
    from browline.store.models import Shift

    found = Shift.objects.filter(person__identifier=identifier).order_by("date", "code")
    return [(s.date, s.code, s.kind, s.ward) for s in found]


def reasons(entry):
    return {r["code"]: r["count"] for r in entry["reasons"]}


@pytest.fixture
def file(tmp_path):
    return tmp_path / "roster.csv"


FILLED = sum(bool(code) for codes in (HANA, BRAM, UNA) for code in codes)


def test_a_grid_comes_in_as_person_days(maple, file):
    entry = take(maple, file, grid())
    assert entry["kind"] == "roster"
    assert entry["rows"] == FILLED + 1, "and the vacant turn"
    assert reasons(entry) == {"code-unknown": 1, "nobody-named": 1}
    told = turns("00417")
    assert told[0] == (DAYS[0], "LD", "long-day", "Maple")
    assert (DAYS[6], "N", "night", "Maple") in told, "the mark of a footnote is not a code"
    assert (DAYS[9], "LD", "long-day", "Oak") in told, "a float, on the ward of the cell"
    assert told[-2:] == [(DAYS[13], "E", "early", "Maple"), (DAYS[13], "L", "late", "Maple")]
    assert (DAYS[7], "N", "night", "5W") in turns("00938")


def test_a_workbook_with_dates_and_merged_headings_says_the_same(maple, file, tmp_path):
    from browline.store.models import Shift

    take(maple, file, grid())
    as_text = set(Shift.objects.values_list("person", "date", "ward", "code", "start", "end"))
    Shift.objects.all().delete()
    take(maple, as_workbook(tmp_path / "roster.xlsx", grid()))
    assert set(Shift.objects.values_list("person", "date", "ward", "code", "start", "end")) == as_text


def test_the_same_file_again_changes_nothing(maple, file):
    from browline.store.models import Event, Import, Shift

    take(maple, file, grid())
    before = sorted(Shift.objects.values_list("pk", flat=True)), Import.objects.count(), Event.objects.count()
    entry = take(maple, file)
    assert (entry["taken"], entry["already_here"], entry["set_aside"]) == (0, FILLED - 1, 2)
    assert (
        sorted(Shift.objects.values_list("pk", flat=True)),
        Import.objects.count(),
        Event.objects.count(),
    ) == before


def test_a_code_settled_later_brings_its_turns_in(maple, file):
    from browline.services.training.roster.shift_codes import settle, unsettled

    take(maple, file, grid())
    assert unsettled() == [("XQ", 1)]
    assert settle("xq", "late", time(14), time(22), today=DAYS[0], actor="educator") == 1
    assert unsettled() == []
    assert turns("00938")[-1] == (DAYS[13], "XQ", "late", "Maple")
    entry = take(maple, file)
    assert (entry["taken"], entry["set_aside"]) == (0, 1)


def test_settling_a_code_anew_moves_the_hours_of_turns_that_bear_it(maple, file):
    from browline.services.training.roster.shift_codes import settle
    from browline.store.models import Shift

    take(maple, file, grid())
    settle("N", "night", time(21), time(8), today=DAYS[0], actor="educator")
    night = Shift.objects.filter(code="N").first()
    assert night.start.astimezone(UTC).hour == 21
    assert take(maple, file)["taken"] == 0


@pytest.mark.parametrize("asked", [("N", "nights", time(1), time(2)), ("", "night", time(1), time(2)),
                                   ("Q", "late", None, None), ("Q", "late", time(1), time(1))])  # fmt: skip
def test_a_code_that_makes_no_sense_is_refused(maple, asked):
    from browline.errors import NotUnderstood
    from browline.services.training.roster.shift_codes import settle

    with pytest.raises(NotUnderstood):
        settle(*asked, today=DAYS[0], actor="educator")


def test_a_newer_roster_takes_the_place_of_an_older_one(maple, file, tmp_path):
    take(maple, file, grid())
    newer = grid()
    newer[6][4], newer[6][5], newer[6][13] = "N", "", ""
    entry = take(maple, tmp_path / "newer.csv", newer)
    assert entry["taken"] == 1 and reasons(entry)["roster-replaced"] == 3
    told = turns("00417")
    assert told[0] == (DAYS[0], "N", "night", "Maple")
    assert DAYS[1] not in [day for day, *_ in told], "what is blank now is gone"
    assert DAYS[9] not in [day for day, *_ in told], "a float that is blank now is gone too"


def test_an_older_file_brought_again_replaces_nothing_newer(maple, file, tmp_path):
    take(maple, file, grid())
    newer = grid()
    newer[6][4] = "N"
    take(maple, tmp_path / "newer.csv", newer)
    assert take(maple, file)["taken"] == 0
    assert turns("00417")[0] == (DAYS[0], "N", "night", "Maple")


def test_rosters_of_two_wards_stand_beside_one_another_but_nobody_works_twice_at_once(maple, file, tmp_path):
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    take(maple, file, [["Ward: Maple", "", "", ""], ["Staff no", *days], ["00417", "E", "LD", "E"]])
    take(
        maple,
        tmp_path / "oak.csv",
        [["Ward: Oak", "", "", ""], ["Staff no", *days], ["00417", "L", "", "LD"]],
    )
    # Early (07 to 15) and late (13 to 21) overlap by a handover only; early and long day cannot both be worked.
    assert [(d, code, ward) for d, code, _, ward in turns("00417")] == [
        (DAYS[0], "E", "Maple"),
        (DAYS[0], "L", "Oak"),
        (DAYS[1], "LD", "Maple"),
        (DAYS[2], "LD", "Oak"),
    ]


def test_a_split_post_in_two_rows_is_one_person_in_two_wards(maple, file):
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    rows = [["Staff no", "Ward", *days], ["00417", "Maple", "LD", "", "E"], ["417", "Oak", "N", "LD", "LD"]]
    entry = take(maple, file, rows)
    assert reasons(entry) == {"two-places": 1, "leading-zeros": 1}
    assert [(d, code, ward) for d, code, _, ward in turns("00417")] == [
        (DAYS[0], "LD", "Maple"), (DAYS[0], "N", "Oak"), (DAYS[1], "LD", "Oak"), (DAYS[2], "E", "Maple"),
    ]  # fmt: skip


def test_names_stand_for_identifiers_where_one_person_has_them(maple, file):
    from browline.services.training.sessions.matching import put_on_list, unlisted
    from browline.store.models import Person

    put_on_list(unlisted("05555").pk, name="Bram  COPEDEN", actor="educator")
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    rows = [
        ["Name", *days],
        ["ALDERLEY, hana", "LD", "", ""],
        ["Bram Copeden", "E", "", ""],
        ["Zosia Quillden", "N", "", ""],
    ]
    entry = take(maple, file, rows)
    assert reasons(entry) == {"two-of-this-name": 1, "person-not-listed": 1}
    assert turns("00417") == [(DAYS[0], "LD", "long-day", "Maple")]
    assert not Person.objects.get(identifier="Zosia Quillden").listed
    assert take(maple, file)["taken"] == 0, "and the same new person is meant again"


def test_somebody_matched_to_the_list_is_meant_by_the_next_roster(maple, file, tmp_path):
    from browline.services.training.sessions.matching import match, unmatched
    from browline.store.models import Person

    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    take(maple, file, [["Name", *days], ["H. Alderley", "LD", "", ""]])
    match(unmatched()[0].pk, Person.objects.get(identifier="00417").pk, actor="educator")
    take(maple, tmp_path / "next.csv", [["Name", *days], ["H. Alderley", "", "N", ""]])
    assert turns("00417") == [(DAYS[1], "N", "night", "Maple")]
    assert unmatched() == []


def test_a_list_comes_in_with_its_own_hours(maple, file):
    from browline.store.models import Shift

    entry = take(maple, file, LIST)
    assert (entry["rows"], entry["taken"], reasons(entry)) == (5, 5, {"leading-zeros": 1})
    special = Shift.objects.get(code="SPECIAL")
    assert (special.kind, special.ward) == ("day", "Oak")
    assert special.end - special.start == timedelta(hours=8)


def test_a_night_belongs_to_the_day_it_begins_and_knows_the_change_of_clocks(maple, file):
    """UTC+0 to UTC+1 in London at 01:00 UTC on 29 March 2026 (the rule of the EU and UK: last Sunday of March)."""
    from browline.store.models import Shift

    days = ["27/03/2026", "28/03/2026", "29/03/2026"]
    take(maple, file, [["Staff no", *days], ["00417", "N", "N", "N"]])
    usual, changing, summer = Shift.objects.order_by("date")
    assert usual.start == datetime(2026, 3, 27, 19, tzinfo=UTC)
    assert usual.end - usual.start == timedelta(hours=12, minutes=30)
    assert changing.date == date(2026, 3, 28) and changing.end == datetime(2026, 3, 29, 6, 30, tzinfo=UTC)
    assert changing.end - changing.start == timedelta(hours=11, minutes=30)
    assert summer.start == datetime(2026, 3, 29, 18, tzinfo=UTC)


def test_rows_that_are_all_leave_and_leavers_are_proposed_to_be_confirmed(maple, file):
    from browline.services.training import staff
    from browline.services.training.roster.absences import not_so, proposals
    from browline.store.models import Person

    take(maple, file, grid())
    Person.objects.filter(identifier="00938").update(end=date(2026, 3, 1))
    told = {p.person.identifier: p for p in proposals(DAYS[0])}
    assert {who: p.reason for who, p in told.items()} == {"00938": "left", "01200": "long-leave"}
    assert (told["01200"].start, told["01200"].end) == (DAYS[0], DAYS[-1])
    una = told["01200"]
    staff.away(una.person.pk, una.reason, una.start, una.end, actor="educator")
    not_so(told["00938"], actor="educator")
    assert proposals(DAYS[0]) == []


def test_without_a_roster_in_it_a_file_is_refused_and_nothing_happens(maple, file):
    from browline.errors import InputRefused
    from browline.store.models import Event, Import

    before = Event.objects.count()
    with pytest.raises(InputRefused, match="No roster was found"):
        take(maple, file, [["Staff no", "Name"], ["00417", "Hana"]])
    assert Import.objects.count() == 0 and Event.objects.count() == before


def test_a_fault_half_way_leaves_the_book_as_it_was(maple, file, monkeypatch):
    from browline.store.importing.roster import commit as roster_commit
    from browline.store.models import Import, Person, Shift

    people = Person.objects.count()
    monkeypatch.setattr(roster_commit, "_shift", lambda *a: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        take(maple, file, [["Name", *[f"{d:%d/%m/%Y}" for d in DAYS[:3]]], ["Nobody Known", "E", "L", "N"]])
    assert (Import.objects.count(), Shift.objects.count(), Person.objects.count()) == (0, 0, people)


def test_import_knows_a_roster_when_nobody_says_so_and_people_from_a_roster(maple, file, tmp_path):
    from browline.services.imports.run import import_file

    file.write_text(as_csv(grid()))
    assert import_file(maple, file).files[0]["kind"] == "roster"
    people = tmp_path / "people.csv"
    people.write_text("Staff no,Full name,Role,Ward\n07777,Keziah Norwick,RN,Maple\n")
    assert import_file(maple, people).files[0]["kind"] == "people"


def test_fifteen_hundred_people_for_four_weeks_come_in_within_half_a_minute(maple, file):
    import time as clock

    from browline.store.models import Shift

    days = [f"{DAYS[0] + timedelta(days=k):%d/%m/%Y}" for k in range(28)]
    rows = [["Staff no", "Name", "Ward", *days]]
    rows += [
        [f"{k:05}", f"Name {k}", f"Ward {k % 40}", *(["LD", "", "N", "-"] * 7)] for k in range(20000, 21500)
    ]
    file.write_text(as_csv(rows))
    began = clock.monotonic()
    entry = take(maple, file)
    took = clock.monotonic() - began
    print(f"{entry['taken']} person-days in {took:.1f} s")
    assert entry["taken"] == Shift.objects.count() == 1500 * 21
    assert took < 30


def test_the_receipt_says_how_it_was_read_and_what_is_left_to_settle(maple, file):
    from browline.services.imports.run import import_file

    file.write_text(as_csv(grid()))
    said = " ".join(import_file(maple, file, kind="roster", today=DAYS[0]).notes)
    assert "staff down and days across" in said and "02 Mar 2026 to 15 Mar 2026" in said and "XQ (1)" in said


def test_two_sheets_of_a_workbook_are_one_import(maple, tmp_path):
    import openpyxl

    path = as_workbook(tmp_path / "two.xlsx", grid())
    book = openpyxl.load_workbook(path)
    other = book.create_sheet("Oak")
    for row in (
        ["Ward: Oak"],
        ["Staff no", "02/03/2026", "03/03/2026", "04/03/2026"],
        ["01200", "N", "", "N"],
    ):
        other.append(row)
    book.create_sheet("Notes").append(["Nothing of a roster here"])
    book.save(path)
    take(maple, path)
    assert ("N", "Oak") in [(code, ward) for _, code, _, ward in turns("01200")]


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_a_roster_in_another_encoding_with_semicolons_is_read(maple, file, encoding):
    rows = [["Staff no", "Name", "02/03/2026", "03/03/2026", "04/03/2026"], ["00417", "Hána", "N", "", "LD"]]
    file.write_bytes("\r\n".join(";".join(row) for row in rows).encode(encoding))
    assert take(maple, file)["taken"] == 2


def test_a_file_that_a_spreadsheet_rounded_goes_by_the_names(maple, file):
    days = [f"{d:%d/%m/%Y}" for d in DAYS[:3]]
    rows = [
        ["Staff no", "Name", *days],
        ["1.23E+11", "Hana Alderley", "N", "", ""],
        ["1.23E+11", "", "LD", "", ""],
    ]
    entry = take(maple, file, rows)
    assert (entry["taken"], reasons(entry)) == (1, {"person-unread": 1})


def changed(identifier, code):
    """The hours of a turn, as the hospital's clock shows them."""
    from zoneinfo import ZoneInfo

    from browline.store.models import Shift

    turn = Shift.objects.filter(person__identifier=identifier, code=code).order_by("date").first()
    return turn.kind, *(f"{at.astimezone(ZoneInfo(LONDON)):%H:%M}" for at in (turn.start, turn.end))


def test_hours_that_the_roster_gave_stay_when_its_code_is_settled(maple, file):
    from browline.services.training.roster.shift_codes import settle

    take(maple, file, LIST)
    settle("SPECIAL", "late", time(14), time(22), today=DAYS[0], actor="educator")
    assert changed("00938", "SPECIAL") == ("late", "09:00", "17:00")
    settle("SPECIAL", "late", time(15), time(23), today=DAYS[0], actor="educator")
    assert changed("00938", "SPECIAL") == ("late", "09:00", "17:00")


def test_turns_that_were_worked_keep_their_hours_when_a_code_changes(maple, file):
    from browline.services.training.roster.shift_codes import settle
    from browline.store.models import Shift

    take(maple, file, grid())
    today = DAYS[5]
    settle("N", "night", time(21), time(8), today=today, actor="educator")
    hours = {s.date: s.start.astimezone(UTC).hour for s in Shift.objects.filter(code="N")}
    assert {hour for day, hour in hours.items() if day < today} == {19}
    assert {hour for day, hour in hours.items() if day >= today} == {21}


def weeks(maple, tmp_path, first, codes, who="00417"):
    """A roster of one person, day by day from `first` on."""
    days = [first + timedelta(days=k) for k in range(len(codes))]
    path = tmp_path / f"{first}.csv"
    take(maple, path, [["Staff no", *[f"{d:%d/%m/%Y}" for d in days]], [who, *codes]])


def test_long_leave_after_months_of_duty_is_proposed_from_its_first_day(maple, tmp_path):
    from browline.services.training.roster.absences import proposals

    weeks(maple, tmp_path, date(2025, 12, 1), ["E"] * 30)
    weeks(maple, tmp_path, date(2026, 3, 2), ["AL"] * 28)
    (found,) = proposals(date(2026, 3, 10))
    assert (found.start, found.end) == (date(2026, 3, 2), date(2026, 3, 29))
    weeks(maple, tmp_path, date(2026, 3, 30), ["E"] * 7)
    assert proposals(date(2026, 3, 10)) == []


@pytest.mark.parametrize("said", ["absence", "not so"])
def test_what_was_said_of_an_earlier_leave_silences_nothing_of_a_later_one(maple, tmp_path, said):
    from browline.services.training import staff
    from browline.services.training.roster.absences import not_so, proposals

    weeks(maple, tmp_path, date(2024, 3, 4), ["AL"] * 20)
    (first,) = proposals(date(2024, 3, 10))
    if said == "absence":
        staff.away(first.person.pk, first.reason, first.start, first.end, actor="educator")
    else:
        not_so(first, actor="educator")
    assert proposals(date(2024, 3, 10)) == []
    weeks(maple, tmp_path, date(2026, 1, 5), ["E"] * 5)
    weeks(maple, tmp_path, date(2026, 3, 2), ["AL"] * 20)
    assert [p.start for p in proposals(date(2026, 3, 10))] == [date(2026, 3, 2)]


def test_somebody_the_roster_says_has_left_is_proposed_as_a_leaver_and_expected_nowhere(maple, tmp_path):
    from browline.services.training.roster.absences import proposals

    weeks(maple, tmp_path, DAYS[0], ["E", "E", "LEFT", "LEFT", "LEFT"])
    (found,) = proposals(DAYS[0])
    assert (found.reason, found.start, found.end) == ("left", DAYS[2], None)
    assert turns("00417")[2] == (DAYS[2], "LEFT", "left", "Maple")


def test_a_code_of_the_hospital_can_be_settled_as_left(maple, tmp_path):
    from browline.services.training.roster.absences import proposals
    from browline.services.training.roster.shift_codes import settle

    weeks(maple, tmp_path, DAYS[0], ["E", "ZZ", "ZZ"])
    settle("ZZ", "left", None, None, today=DAYS[0], actor="educator")
    assert [(p.reason, p.start) for p in proposals(DAYS[0])] == [("left", DAYS[1])]
