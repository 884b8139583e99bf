"""The rows behind an answer are those that the audit counted: both draw their lines at the same place."""

from datetime import datetime, timedelta

import numpy as np
import pytest

import invented_wards as told
from browline.audit import thresholds
from browline.audit.problem import Problem
from browline.services.imports.run import import_file
from browline.services.review.wards import rows_behind, ward
from browline.store.readings import load_readings

BEGIN = datetime(2026, 3, 2, 8, 7)
SITES = ("Oral", "Rectal", "Axillary", "")
DELAYS = (10, 59, 60, 61, 180)
AGES = ("3", "4", "5", "70")


def _row(i):
    when = BEGIN + timedelta(hours=i)
    keyed = when + timedelta(minutes=DELAYS[i % 5])
    site, age = SITES[i % 4], AGES[i // 4 % 4]
    return (
        f"V{i % 7},{when:%Y-%m-%d %H:%M},{36.4 + i % 9 / 10:.1f},{site},Larch,{age},{keyed:%Y-%m-%d %H:%M}\n"
    )


CHART = "stay,time,temp,site,ward,age,entered\n" + "".join(map(_row, range(120)))


@pytest.mark.parametrize("test", ["site-missing", "site-unsuited", "entry-delay"])
def test_as_many_rows_stand_behind_an_answer_as_the_audit_counted(book, export, test):
    import_file(book, export(CHART))
    review = told.a_review(told.a_ward("Larch", told.seen(test, 0.2, "Larch"), of=told.weeks([10] * 8)))
    answer = next(a for a in ward(review, "Larch").answers if a.test == test)
    ((_, rows),) = rows_behind(book, "Larch", answer)
    signals = thresholds.by_ward(Problem(load_readings(book)))
    (counted,) = (s for s in signals if s.test == test)
    assert 0 < len(rows) == counted.parts["count"] < 120
    assert np.isin(rows, np.arange(2, 122)).all()
