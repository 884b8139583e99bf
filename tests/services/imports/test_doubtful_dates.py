"""Files that an earlier version may have read by another file's order of dates are listed to be looked at again."""

from datetime import UTC, datetime

import pytest

from browline.services.agenda import agenda
from browline.services.imports.doubtful_dates import (
    doubtful_dates,
    doubtful_dates_note,
    say_dates_are_right,
)
from browline.services.imports.run import import_file
from browline.services.imports.undo import undo_import
from browline.store.models import Event, Import

HEAD = "stay,time,value\n"
NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)


@pytest.fixture
def taken(book, tmp_path):
    """Take a file of these times as an earlier version would have left it: no order with its import."""

    def take(*times, old=True):
        path = tmp_path / f"{Import.objects.count()}.csv"
        path.write_text(HEAD + "".join(f"V{i},{time},36.{i}\n" for i, time in enumerate(times)))
        (number,) = import_file(book, path).imports
        made = Import.objects.get(pk=number)
        if old:
            made.mapping = {k: v for k, v in made.mapping.items() if k != "date_order"}
            made.save()
        return made

    return take


SETTLED = ("2026-04-25 06:00", "2026-04-26 06:00")
EARLY_DAYS = ("2026-03-05 06:00", "2026-04-05 06:00")


def test_a_later_file_with_no_day_after_the_12th_is_listed(book, taken):
    taken(*SETTLED)
    doubted = taken(*EARLY_DAYS)
    assert doubtful_dates(book) == [doubted]
    assert doubted.label.removesuffix(" the file") in doubtful_dates_note(book)[0]
    (item, *_) = agenda(book, NOW)
    assert "Look at the dates" in item.what and item.arguments == (doubted.pk,)


def test_the_first_file_and_one_with_later_days_are_not(book, taken):
    taken(*EARLY_DAYS)
    taken("2026-05-13 06:00", "2026-05-02 06:00")
    assert doubtful_dates(book) == [] and doubtful_dates_note(book) == []


def test_a_file_with_impossible_dates_is_listed_although_it_has_later_days(book, taken):
    taken(*SETTLED)
    doubted = taken("2026-05-13 06:00", "2026-13-05 06:00")
    assert doubtful_dates(book) == [doubted]


def test_a_file_of_this_version_is_not_for_its_order_is_known(book, taken):
    taken(*SETTLED)
    taken(*EARLY_DAYS, old=False)
    assert doubtful_dates(book) == []


def test_it_leaves_the_list_when_she_says_the_dates_are_right_or_takes_it_back(book, taken):
    taken(*SETTLED)
    first, second = taken(*EARLY_DAYS), taken("2026-03-05 07:00", "2026-04-05 08:00")
    assert doubtful_dates(book) == [second, first]
    say_dates_are_right(first.pk, "educator")
    assert doubtful_dates(book) == [second]
    assert Event.objects.filter(verb="dates-are-right", subject=str(first.pk)).exists()
    undo_import(second.pk, "educator")
    assert doubtful_dates(book) == []
