"""A roster without staff numbers: two people of one name are never made one in silence (practice, trap 12)."""

from datetime import date

import pytest

from roster_cases import as_csv

TODAY = date(2026, 3, 1)
DAYS = ["02/03/2026", "03/03/2026", "04/03/2026"]
FORTY = [[f"Nurse {chr(65 + k % 26)}{'abc'[k // 26]}", "Night A", "N", "", "N"] for k in range(38)]
DEVS = [["Dunmore, Dev", "Night A", "N", "N", ""], ["Dunmore, Dev", "Early B", "E", "", "E"]]
HEADING = ["Name", "Ward", *DAYS]


@pytest.fixture
def bring(book, tmp_path):
    """Take rows as a file, with answers; the entry of the receipt."""
    from browline.services.imports.mapping import FileAnswers
    from browline.services.imports.run import import_file

    def taken(rows, name="roster.csv", **answers):
        path = tmp_path / name
        path.write_text(as_csv(rows))
        said = FileAnswers(same_names={k.replace("_", " "): v for k, v in answers.items()})
        (entry,) = import_file(book, path, kind="roster", today=TODAY, answers=said).files
        assert entry["rows"] == entry["taken"] + entry["already_here"] + entry["set_aside"]
        return entry

    return taken


def turns():
    from browline.store.models import Shift

    told = Shift.objects.order_by("date", "code").values_list(
        "person__identifier", "date__day", "code", "ward"
    )
    return [t for t in told if t[0].startswith("Dunmore") or t[0].startswith("S10")]


def reason(entry):
    return {r["code"]: (r["count"], r["example_rows"]) for r in entry["reasons"]}.get("two-rows-one-name")


def test_without_an_answer_the_later_line_is_set_aside_with_its_row(bring):
    entry = bring([HEADING, *FORTY, *DEVS])
    assert reason(entry) == (2, [41])
    assert turns() == [("Dunmore, Dev", 2, "N", "Night A"), ("Dunmore, Dev", 3, "N", "Night A")]


def test_said_to_be_two_there_are_forty_people_and_nobody_works_twice(bring):
    from browline.store.models import Person

    bring([HEADING, *FORTY, *DEVS])
    entry = bring([HEADING, *FORTY, *DEVS], dev_dunmore="two")
    assert (entry["taken"], entry["set_aside"]) == (2, 0), "what was set aside comes in, nothing twice"
    assert Person.objects.count() == 40
    assert turns() == [
        ("Dunmore, Dev (Early B)", 2, "E", "Early B"), ("Dunmore, Dev", 2, "N", "Night A"),
        ("Dunmore, Dev", 3, "N", "Night A"), ("Dunmore, Dev (Early B)", 4, "E", "Early B"),
    ]  # fmt: skip


def test_said_to_be_one_the_split_post_is_taken(bring):
    entry = bring(
        [HEADING, ["Dunmore, Dev", "Maple", "E", "", ""], ["Dunmore, Dev", "Oak", "", "L", ""]],
        dev_dunmore="one",
    )
    assert (entry["taken"], entry["set_aside"]) == (2, 0)
    assert {who for who, *_ in turns()} == {"Dunmore, Dev"}


def test_the_next_roster_in_another_order_means_the_same_two(bring):
    bring([HEADING, *DEVS], dev_dunmore="two")
    entry = bring([HEADING, *reversed(DEVS)], "next.csv")
    assert (entry["already_here"], entry["set_aside"]) == (4, 0), "and it is not asked again"
    assert {(who, ward) for who, _, _, ward in turns()} == {
        ("Dunmore, Dev", "Night A"), ("Dunmore, Dev (Early B)", "Early B"),
    }  # fmt: skip


def test_a_later_roster_of_one_of_the_two_is_told_by_its_ward(bring):
    bring([HEADING, *DEVS], dev_dunmore="two")
    week = ["09/03/2026", "10/03/2026", "11/03/2026"]
    bring([["Name", "Ward", *week], ["Dev Dunmore", "Early B", "E", "", ""]], "early.csv")
    assert turns()[-1] == ("Dunmore, Dev (Early B)", 9, "E", "Early B")
    entry = bring([["Name", "Ward", *week], ["Dev Dunmore", "Oak", "E", "", ""]], "oak.csv")
    assert [r["code"] for r in entry["reasons"]] == ["two-of-this-name"]


def test_the_line_on_the_home_ward_of_the_listed_one_is_theirs(bring):
    from browline.services.training.sessions.matching import put_on_list, unlisted

    put_on_list(unlisted("S1004").pk, name="Dev Dunmore", ward="Early B", actor="educator")
    assert reason(bring([HEADING, *DEVS])) == (2, [2])
    bring([HEADING, *DEVS], dev_dunmore="two")
    assert {(who, ward) for who, _, _, ward in turns()} == {
        ("S1004", "Early B"),
        ("Dunmore, Dev (Night A)", "Night A"),
    }


def test_where_the_list_has_two_of_the_name_both_lines_wait_to_be_matched(bring):
    from browline.services.training.sessions.matching import match, put_on_list, unlisted, unmatched
    from browline.store.models import Person

    for identifier in ("S1004", "S1009"):
        put_on_list(unlisted(identifier).pk, name="Dev Dunmore", actor="educator")
    bring([HEADING, *DEVS], dev_dunmore="two")
    assert sorted(e.identifier for e in unmatched()) == ["Dunmore, Dev (Early B)", "Dunmore, Dev (Night A)"]
    for entry, identifier in zip(unmatched(), ("S1004", "S1009"), strict=True):
        match(entry.pk, Person.objects.get(identifier=identifier).pk, actor="educator")
    assert bring([HEADING, *DEVS], dev_dunmore="two")["taken"] == 0
    assert {(who, ward) for who, _, _, ward in turns()} == {("S1004", "Early B"), ("S1009", "Night A")}


@pytest.mark.parametrize(
    ("first", "second", "asked"),
    [
        (["Maple", "RN", "E", "", ""], ["Maple", "RN", "", "L", ""], False),
        (["Maple", "RN", "E", "", ""], ["Oak", "RN", "", "L", ""], True),
        (["Maple", "RN", "E", "", ""], ["Maple", "HCA", "", "L", ""], True),
        (["Maple", "RN", "E", "", ""], ["Maple", "RN", "N", "", ""], True),
        (["Maple", "RN", "N", "N", "N"], ["Maple", "RN", "N", "N", "N"], True),
        (["Maple", "RN", "E", "", ""], ["", "", "", "L", ""], False),
    ],
)
def test_what_stands_apart_is_asked_about(bring, first, second, asked):
    rows = [["Name", "Ward", "Grade", *DAYS], ["Dev Dunmore", *first], ["Dunmore,  DEV", *second]]
    assert (reason(bring(rows)) is not None) is asked


def test_a_row_without_a_name_goes_on_about_the_person_above(bring):
    entry = bring([HEADING, ["Dunmore, Dev", "Maple", "E", "", ""], ["", "Oak", "", "L", ""]])
    assert entry["taken"] == 2 and reason(entry) is None


def test_weeks_in_blocks_below_one_another_are_one_line(bring):
    week = ["Name", "Ward", "09/03/2026", "10/03/2026", "11/03/2026"]
    entry = bring([HEADING, DEVS[0], week, DEVS[0]])
    assert entry["taken"] == 4 and reason(entry) is None


def test_vacant_lines_are_nobodys_and_not_asked_about(bring):
    rows = [
        HEADING,
        DEVS[0],
        ["VACANT", "Maple", "E", "", ""],
        ["VACANT", "Oak", "E", "", ""],
        ["Agency", "Oak", "E", "", ""],
    ]
    assert reason(bring(rows)) is None


def test_in_a_list_two_turns_of_one_day_are_asked_about(bring):
    rows = [["Name", "Date", "Shift", "Ward"], *[["Dev Dunmore", d, "N", "Night A"] for d in DAYS],
            ["Dev Dunmore", DAYS[0], "E", "Night A"]]  # fmt: skip
    assert reason(bring(rows)) == (1, [5])


def test_staff_numbers_settle_it(bring):
    rows = [["Staff no", *HEADING], ["S1004", *DEVS[0]], ["S1009", *DEVS[1]]]
    entry = bring(rows)
    assert entry["taken"] == 4 and reason(entry) is None
