"""The plan on paper: a sheet to pin up that names nobody, then names for the educator; and the calendar file."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from icalendar import Calendar
from pypdf import PdfReader

from browline.paper import write_session_plan
from browline.paper.calendar import Entry, calendar, plan_calendar
from browline.paper.session_plan import CAUTION
from browline.services.book.preferences import CHOICES
from browline.services.training.visit_plan.options import Options
from browline.services.training.visit_plan.plan_view import Gap, Left, NotCounted, Shown
from browline.services.training.visit_plan.visits import ShownVisit, Stands
from browline.visit_plan import Outcome, Reason

MADE = datetime(2026, 2, 27, 12, tzinfo=UTC)
HOSTILE = '#pagebreak() = "x" *bold* $x$'
CHOSEN = {key: choice.until_set for key, choice in CHOICES.items()} | {
    "hospital": "Fenwick Vale",
    "owner": "Ines, ext. 12",
}


def a_visit(number=0, **facts):
    told = {
        "key": f"k{number}", "time": datetime(2026, 3, 2 + number // 3, 8 + number % 3, 30, tzinfo=UTC), "minutes": 20,
        "ward": "Larch", "shift": "day", "on_duty": 8, "places": 4, "expected": 2.4, "first": ("Asha Rao", "Ben Cole"),
        "again": ("Dora Lind",), "session": None, "kept": False,
    }  # fmt: skip
    return ShownVisit(**told | facts)


def a_plan(*visits, **facts):
    told = {
        "number": 3, "book": "b1", "made": MADE, "options": Options("2026-03-02"), "outcome": Outcome.OPTIMAL,
        "sentences": ("About 28 of the 44 people left to reach are reached.",), "visits": visits,
        "left": (Left(Reason.NIGHTS, (("Femi Osei", "Edda Holt (14 turns together)"),)),), "once": ("Ben Cole",),
        "gaps": (Gap("Larch", "nights", "no champion", ()),), "missing": (),
        "not_counted": (NotCounted("on long leave", ("Holm, Vera", "Birch, Xena")),),
    }  # fmt: skip
    return Shown(**told | facts)


def read(path):
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_the_sheet_to_pin_up_names_nobody_and_the_next_page_everybody(tmp_path):
    plan = a_plan(a_visit(), a_visit(1, ward="Maple"))
    wall, own = read(write_session_plan(plan, CHOSEN, tmp_path / "plan.pdf"))
    about = ("Fenwick Vale", "Ines, ext. 12", CAUTION)
    for text in (*about, "Monday 02 Mar 2026", "08:30", "Larch", "20 min", "4 places", "proposed", "Maple"):
        assert text in wall, text
    assert "2.4" not in wall and "2.4" in own and "on long leave: Holm, Vera; Birch, Xena" in own
    for name in ("Asha Rao", "Ben Cole", "Dora Lind", "Femi Osei", "Edda Holt", "Holm, Vera"):
        assert name in own and name not in wall, name
    assert Reason.NIGHTS.sentence in own and "Larch, nights: no champion" in own


def test_the_sheet_to_pin_up_tells_agreed_from_proposed_and_what_became_of_it(tmp_path):
    visits = (
        a_visit(session=1, stands=Stands.AGREED),
        a_visit(1, session=2, stands=Stands.MOVED, was="Fri 06 Mar 09:00, Elm", first=(), again=()),
        a_visit(2, session=3, stands=Stands.CANCELLED, first=(), again=()),
    )
    wall, own = read(write_session_plan(a_plan(*visits), CHOSEN, tmp_path / "plan.pdf"))
    assert wall.index("agreed") < wall.index("moved from Fri 06 Mar 09:00, Elm") < wall.index("cancelled")
    assert "proposed" not in wall and own.count("2.4") == 1 and "cancelled; plan again" in own
    assert wall.count("4 places") == 1
    wall, _ = read(write_session_plan(a_plan(*visits, a_visit(3)), CHOSEN, tmp_path / "plan.pdf"))
    assert "What is marked as proposed is not agreed yet" in wall


def test_a_long_plan_runs_on_and_keeps_names_off_every_sheet_to_pin_up(tmp_path):
    pages = read(write_session_plan(a_plan(*(a_visit(n) for n in range(80))), CHOSEN, tmp_path / "plan.pdf"))
    begin = next(n for n, page in enumerate(pages) if "For the educator only" in page)
    assert begin >= 2 and not [page for page in pages[:begin] if "Asha" in page]
    assert all("Day Time Ward" in page for page in pages[:begin])


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_plan_without_visits_says_why(paper, tmp_path):
    plan = a_plan(left=(), once=(), gaps=(), sentences=(Outcome.NO_ROSTER.sentence,))
    pages = read(write_session_plan(plan, CHOSEN | {"paper": paper}, tmp_path / "plan.pdf"))
    assert Outcome.NO_ROSTER.sentence in pages[0]


def test_what_is_typed_never_becomes_markup_and_the_same_plan_gives_the_same_bytes(tmp_path):
    plan = a_plan(a_visit(ward=HOSTILE, first=(HOSTILE,)))
    one = write_session_plan(plan, CHOSEN, tmp_path / "one.pdf")
    assert HOSTILE in read(one)[0] and read(one)[1].count(HOSTILE) == 2
    assert one.read_bytes() == write_session_plan(plan, CHOSEN, tmp_path / "two.pdf").read_bytes()


def test_it_declares_both_standards(tmp_path):
    """What the file claims; the typesetter checks the claim while writing."""
    pdf = PdfReader(write_session_plan(a_plan(a_visit()), CHOSEN, tmp_path / "plan.pdf"))
    claims = pdf.trailer["/Root"]["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in claims and "<pdfaid:part>2</pdfaid:part>" in claims


def unfolded(content):
    """Content lines by the rule of RFC 5545, 3.1: CRLF ends a line, CRLF and a blank continue it."""
    assert content.endswith(b"\r\n") and b"\n" not in content.replace(b"\r\n", b"")
    return content.decode().replace("\r\n ", "").split("\r\n")[:-1]


def test_the_calendar_keeps_the_rules_of_rfc_5545():
    """3.1 lines and folding, 3.3.5 UTC times, 3.3.11 escapes, 3.6 and 3.6.1 what must stand in it and once."""
    hostile = "Ward; 3, east\\west\nnext " + "ä" * 80
    made = calendar(
        [Entry("u1", MADE, 45, hostile, hostile, hostile), Entry("u2", MADE, 20, "x" * 300, "c", "d")], MADE
    )
    assert all(len(line) <= 75 for line in made.split(b"\r\n"))
    assert [line.decode() for line in made.split(b"\r\n")]  # no character is cut in two by a fold
    lines = unfolded(made)
    assert lines[:3] == ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//browline//session plan//EN"]
    assert lines[-1] == "END:VCALENDAR" and lines.count("BEGIN:VEVENT") == lines.count("END:VEVENT") == 2
    event = lines[lines.index("BEGIN:VEVENT") + 1 : lines.index("END:VEVENT")]
    told = dict(line.split(":", 1) for line in event)
    assert len(told) == len(event) and told["UID"] == "u1" and told["DTSTAMP"] == "20260227T120000Z"
    assert (told["DTSTART"], told["DTEND"]) == ("20260227T120000Z", "20260227T124500Z")
    assert told["SUMMARY"] == "Ward\\; 3\\, east\\\\west\\nnext " + "ä" * 80


@pytest.mark.parametrize(
    "words",
    ["East\\North; bay 2, left", "two\r\nlines\rand a\ttab", "ä漢" * 60, 'a "b": c', "bell\x07and\x7fgone"],
)
def test_a_calendar_reads_back_what_was_written(words):
    """As the library that calendars of others are read with reads it; what no line may hold is left out."""
    event = Calendar.from_ical(
        calendar([Entry("u", MADE, 45, words, words, words, sequence=2)], MADE)
    ).events[0]
    lines = words.replace("\r\n", "\n").replace("\r", "\n").replace("\x07", "").replace("\x7f", "")
    assert [str(event[name]) for name in ("SUMMARY", "LOCATION", "DESCRIPTION")] == [lines] * 3
    assert (event.start, event.end, event["SEQUENCE"]) == (MADE, MADE + timedelta(minutes=45), 2)
    assert list(event) == [
        "UID", "DTSTAMP", "DTSTART", "DTEND", "STATUS", "SEQUENCE", "SUMMARY", "LOCATION", "DESCRIPTION",
    ]  # fmt: skip


def test_times_are_told_in_utc_whatever_the_hospitals_zone():
    summer = datetime(2026, 7, 1, 9, tzinfo=timezone(timedelta(hours=2)))
    assert b"DTSTART:20260701T070000Z" in calendar([Entry("u", summer, 20, "", "", "")], MADE)


def test_a_session_keeps_its_identity_when_it_is_moved():
    """3.8.4.7: the same UID is the same event, so a calendar moves it instead of showing it twice."""

    def uids(plan):
        return [line for line in unfolded(plan_calendar(plan)) if line.startswith("UID:")]

    moved = a_visit(4, session=7)
    assert uids(a_plan(a_visit(session=7))) == uids(a_plan(moved)) != uids(a_plan(a_visit(session=8)))
    assert uids(a_plan(moved)) != uids(a_plan(moved, book="another"))
    assert len(set(uids(a_plan(a_visit(), a_visit(1))))) == 2


def test_an_entry_says_whether_it_is_agreed_and_counts_its_changes():
    """3.8.1.11 status of an event; 3.8.7.4 sequence: a higher one takes the place of what a calendar has."""
    visits = (
        a_visit(),
        a_visit(1, session=1, stands=Stands.AGREED),
        a_visit(2, session=2, stands=Stands.MOVED, was="Fri 06 Mar 09:00, Elm", changes=2),
        a_visit(3, session=3, stands=Stands.CANCELLED, changes=1),
    )
    lines = unfolded(plan_calendar(a_plan(*visits)))

    def told(name):
        return [line.removeprefix(f"{name}:") for line in lines if line.startswith(f"{name}:")]

    assert told("STATUS") == ["TENTATIVE", "CONFIRMED", "CONFIRMED", "CANCELLED"]
    assert told("SEQUENCE") == ["0", "0", "2", "1"]
    assert [s.removeprefix("Thermometer teaching\\, Larch") for s in told("SUMMARY")] == [
        " (proposed)", "", "", " (cancelled)",
    ]  # fmt: skip
    assert told("DESCRIPTION")[2:] == ["20 minutes\\; moved from Fri 06 Mar 09:00\\, Elm.", "Cancelled."]


def test_nobody_stands_in_the_calendar():
    text = plan_calendar(a_plan(a_visit())).decode()
    assert "Larch" in text and "2.4 of 3 called" in text.replace("\r\n ", "")
    assert not [name for name in ("Asha", "Ben", "Dora", "Femi") if name in text]
