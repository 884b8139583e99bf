"""What the terminal prints of a review: silence from too few readings is no good news."""

from types import SimpleNamespace

import invented_wards as told
from browline.cli.show import show_review
from browline.documents.review import read_review
from browline.services.review.wards import untold, wards

EMPTY = {"readings": {"total": 60, "used": 60}, "findings": [], "limits": []}


def _shown(capsys, *cast):
    review = SimpleNamespace(document=read_review(EMPTY, told.supplement(*cast)))
    show_review(review)
    return review, capsys.readouterr().out


def test_with_too_few_readings_the_terminal_says_what_the_pages_say(capsys):
    review, said = _shown(capsys, told.holly())
    assert untold(wards(review)).startswith("Too few readings to tell (60 on 1 ward)")
    assert f"Nothing was flagged. {untold(wards(review))}\n" in said


def test_where_something_could_be_told_nothing_flagged_is_all_it_says(capsys):
    assert "\nNothing was flagged.\n" in _shown(capsys, told.maple())[1]


def test_what_was_seen_on_wards_and_is_no_finding_is_told(capsys):
    said = _shown(capsys, told.a_ward("Oak", told.seen("words", 0.2, "Oak"), of=told.weeks([1] * 8)))[1]
    assert "Also seen on wards" in said and "hold words instead of a number" in said
