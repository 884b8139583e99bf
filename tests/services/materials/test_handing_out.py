"""Hand-outs from controlled documents: which version is in use, how it stands, what has been replaced."""

from datetime import UTC, date, datetime, timedelta

import pytest

from approving import new_version
from browline.errors import NotUnderstood
from browline.services.book import change_preference
from browline.services.materials import documents
from browline.services.materials.documents import Approval
from browline.services.materials.handouts import blank_sign_in_sheet, round_sheet, sign_in_sheet
from browline.services.materials.handouts.cards import HAND_OUTS, handed_out, note_handed_out, replaced
from browline.services.materials.handouts.site import choose
from browline.site_choice import Patient

NOW = datetime(2026, 11, 25, 15, 0, tzinfo=UTC)
TODAY = NOW.date()
APPROVED = Approval("Ines Quill", "instructions of model A, issue 4", date(2026, 10, 1), date(2027, 10, 1))


def a_version(kind, approval=APPROVED, *, read=1, change=None):
    body = documents.latest(kind).body
    return new_version(kind, change(body) if change else body, approval, read=read, actor="educator")


@pytest.mark.parametrize("name", HAND_OUTS)
def test_what_comes_with_the_program_is_a_draft_of_version_1(book, name):
    handed = handed_out(name, NOW)
    assert (handed.mark, handed.standing, handed.version) == ("DRAFT", "DRAFT", 1)


@pytest.mark.parametrize("missing", ["owner", "source", "approved", "expires"])
def test_it_stays_a_draft_until_all_four_are_filled(book, missing):
    empty = "" if missing in ("owner", "source") else None
    a_version("pocket-card", Approval(**{**vars(APPROVED), missing: empty}))
    assert handed_out("pocket-card", NOW).mark == "DRAFT"


def test_approved_it_is_in_force_until_it_expires(book):
    a_version("pocket-card")
    assert handed_out("pocket-card", NOW).mark == ""
    assert handed_out("pocket-card", NOW).standing == "in force until 01 Oct 2027"
    last, after = (datetime(2027, 10, day, 12, tzinfo=UTC) for day in (1, 2))
    assert handed_out("pocket-card", last).mark == ""
    assert handed_out("pocket-card", after).mark == "EXPIRED"


def test_before_its_day_it_is_not_yet_in_force(book):
    a_version("pocket-card")
    assert handed_out("pocket-card", datetime(2026, 9, 30, tzinfo=UTC)).mark == "NOT YET"


def test_a_later_draft_does_not_push_out_the_version_in_force(book):
    a_version("pocket-card")
    a_version("pocket-card", Approval(), read=2)
    assert documents.in_force("pocket-card", TODAY).version == 2
    assert [old.version for old in replaced("pocket-card", TODAY)] == [1]
    a_version("pocket-card", read=3)
    assert documents.in_force("pocket-card", TODAY).version == 4
    assert [old.version for old in replaced("poster", TODAY)] == [3, 2, 1]


def test_a_replaced_version_says_when_a_copy_was_last_taken(book):
    note_handed_out(handed_out("pocket-card", NOW), "educator")
    a_version("pocket-card")
    (old,) = replaced("pocket-card", TODAY)
    assert old.handed is not None and old.replaced is not None
    assert replaced("poster", TODAY)[0].handed is None


def test_a_fever_line_changed_after_approval_makes_the_card_a_draft_again(book):
    a_version("pocket-card")
    a_version("common-errors")
    change_preference.set_choice("fever_c", 37.8, "educator")
    assert handed_out("pocket-card", NOW).mark == handed_out("poster", NOW).mark == "DRAFT"
    assert "the fever line was changed on" in handed_out("pocket-card", NOW).standing
    assert handed_out("teach-back", NOW).mark == ""
    a_version("pocket-card", read=2)
    assert handed_out("pocket-card", NOW).mark == ""


def test_the_fever_line_of_the_hospital_stands_on_the_card_in_both_units(book):
    change_preference.set_choice("fever_c", 38.3, "educator")
    change_preference.set_choice("show_unit", "F", "educator")
    (line,) = [row["says"] for row in handed_out("pocket-card", NOW).body["rows"] if row["part"] == "fever"]
    # 38.3 °C is 100.94 °F by the definition of the scales.
    assert "≥ 100.9 °F (38.3 °C)" in line


def test_an_unknown_hand_out_or_paper_is_refused(book):
    with pytest.raises(NotUnderstood, match="There are pocket-card, poster"):
        handed_out("leaflet", NOW)
    with pytest.raises(NotUnderstood, match="It is set on a4, us-letter"):
        handed_out("pocket-card", NOW, "a3")
    assert handed_out("poster", NOW, "a3").paper == "a3"


def test_a_choice_of_site_writes_nothing_down(book, django_assert_writes_nothing):
    answer = choose(Patient("5-years-up", "spore-forming", frozenset({"damp"})), NOW)
    assert answer.choice.site.id == "damp" and answer.mark == "DRAFT"
    assert "{" not in "".join(rule.says + rule.published for rule in answer.choice.rules)


@pytest.fixture
def django_assert_writes_nothing():
    """Fails when anything but a SELECT reaches the records."""
    from django.db import connection

    def read_only(execute, sql, params, many, context):
        assert sql.lstrip().upper().startswith("SELECT"), sql
        return execute(sql, params, many, context)

    with connection.execute_wrapper(read_only):
        yield


def test_the_screen_uses_the_same_version_as_the_card(book):
    def said(body):
        rows = [
            {**row, "says": "As our ward does."} if row["id"] == "forehead" else row for row in body["rows"]
        ]
        return {**body, "rows": rows}

    a_version("site-and-cover", Approval(), change=said)
    assert choose(Patient("5-years-up"), NOW).choice.site.says == "As our ward does."
    card = {row["id"]: row["says"] for row in handed_out("site-card", NOW).body["rows"]}
    assert card["forehead"] == "As our ward does."


def test_a_round_lists_the_instruments_of_the_ward_in_service(book):
    from browline.store.models import Instrument

    for name, ward, end in (
        ("FS-02", "Larch", None), ("FS-01", "Larch", TODAY), ("FS-09", "Larch", TODAY - timedelta(days=1)),
        ("FS-05", "Maple", None),
    ):  # fmt: skip
        Instrument.objects.create(name=name, ward=ward, end=end, unit="C", mode="oral-equivalent")
    Instrument.objects.create(name="FS-77", ward="Larch", listed=False)
    assert [line.instrument for line in round_sheet("Larch", NOW).lines] == ["FS-01", "FS-02"]
    assert [line.instrument for line in round_sheet("", NOW).lines] == ["FS-01", "FS-02", "FS-05"]


def test_a_sign_in_sheet_carries_its_session(book):
    from browline.store.models import Session

    change_preference.set_choice("hospital", "Fenwick Vale", "educator")
    held = Session.objects.create(time=NOW, minutes=25, ward="Larch", educator="Ines Quill", code="KX49")
    sheet = sign_in_sheet(held, (), NOW, address="http://192.0.2.7:8765/here/KX49/")
    assert (sheet.ward, sheet.minutes, sheet.educator, sheet.code, sheet.hospital) == (
        "Larch", 25, "Ines Quill", "KX49", "Fenwick Vale",
    )  # fmt: skip
    assert blank_sign_in_sheet(NOW).time is None
