"""The audit as pages read it, counted anew with plain loops."""

from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from browline import audit
from browline.documents.encoding import plain
from browline.services.review.audit_part import audit_document
from browline.synthetic.many_wards import many_wards
from browline.synthetic.plant import Plant


@pytest.fixture(scope="module")
def problem():
    """Three wards that favour 36.0 °C, and readings of no ward that can be told."""
    made = many_wards(
        np.random.default_rng(4), wards=3, readings=600, plant=Plant(spike=(36.0, 0.2))
    ).readings
    made = made.take(np.argsort(made.time, kind="stable"))
    ward = made.codes["ward"].copy()
    ward[::10] = -1
    return audit.Problem(replace(made, codes={**made.codes, "ward": ward}))


def _monday(hours):
    day = datetime.fromtimestamp(hours * 3600, UTC).date()
    return (day - timedelta(days=day.weekday())).isoformat()


def test_every_ward_has_its_own_readings_by_week(book, problem):
    made, audited = problem.readings, audit.solve(problem)
    document = plain(audit_document(problem, audited))
    assert [w["ward"] for w in document["wards"]] == [*made.names["ward"], audit.NOT_SAID]
    for code, told in zip((0, 1, 2, -1), document["wards"], strict=True):
        mine = np.flatnonzero(made.codes["ward"] == code)
        assert told["n"] == len(mine) and told["favourite"] == "36.0 °C"
        every = Counter(_monday(made.time[i]) for i in mine)
        favoured = Counter(_monday(made.time[i]) for i in mine if made.charted.value[i] == 36.0)
        assert {w["week"]: w["n"] for w in told["weeks"]} == every
        assert {w["week"]: w["favourite"] for w in told["weeks"] if w["favourite"]} == favoured
        assert told["unlikely"] == pytest.approx(1 - audited.measured[mine].mean(), abs=1e-6)
