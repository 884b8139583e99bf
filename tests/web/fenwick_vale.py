"""The cast, all invented: the wards Larch and Maple, thermometer FS-07 that reads low, and Ines, who educates.

Rows are written straight into the book, as a review would have left them.
"""

from copy import deepcopy
from datetime import UTC, date, datetime, timedelta

import invented_wards
from browline.documents.supplement import WeekRow
from browline.store.models import Cleaning, Finding, Import, Instrument, Review
from documents import rows

FS07 = {
    "kind": "instrument-offset",
    "subject": {"type": "instrument", "id": "FS-07"},
    "effect": -0.42,
    "low": -0.55,
    "high": -0.30,
    "unit": "C",
    "probability": 0.97,
    "n": 1234,
    "since": "2026-03-02",
    "causes": [
        {
            "cause": "a dirty lens",
            "probability": 0.7,
            "tell_apart": "Clean the lens and scan five well people again.",
        },
        {"cause": "a changed mode", "probability": None, "tell_apart": "Look at the mode on its display."},
    ],
    "action": "Bring a spare, tag FS-07, and send it for a check.",
    "sentence": "FS-07 reads about 0.4 °C low since March.",
    "comparator": "the other thermometers on Larch",
}

LARCH = {
    **FS07,
    "kind": "site-missing",
    "subject": {"type": "ward", "id": "Larch"},
    "effect": 0.31,
    "low": 0.28,
    "high": 0.34,
    "unit": "share",
    "probability": None,
    "since": None,
    "causes": [],
    "action": "Show Larch how to chart the site.",
    "sentence": "Larch leaves the site blank in a third of its readings.",
    "comparator": "",
}

PERSON = {
    **FS07,
    "kind": "technique-support",
    "subject": {"type": "person", "id": "00417"},
    "sentence": "Readings charted by 00417 run low.",
    "action": "Offer an observed return demonstration.",
}

RESULT = {
    "format": "browline-review/1",
    "readings": {
        "total": 5000, "used": 4900, "patients": 300, "stays": 320, "instruments": 12, "people": 40, "wards": 2,
        "from": "2026-01-05", "until": "2026-06-28",
    },
    "instruments": [
        {"instrument": "FS-07", "n": 1234, "comparator": "the other thermometers", "offset_c": -0.42,
         "low_c": -0.55, "high_c": -0.30, "probability_beyond": 0.97, "since": "2026-03-02"},
        {"instrument": "FS-08", "n": 900, "comparator": "the other thermometers", "offset_c": 0.03,
         "low_c": -0.06, "high_c": 0.12, "probability_beyond": 0.01, "since": None},
    ],
    "wards": [{"ward": "Larch", "n": 2500}, {"ward": "Maple", "n": 2400}],
    "limits": ["The whole fleet may be off; charts alone cannot show it."],
}  # fmt: skip

SUPPLEMENT = {
    **invented_wards.supplement(),
    "hospital": "Fenwick Vale",
    "cannot_answer": ["Who was trained: the files name no sessions."],
    "can_answer": ["Which thermometer reads off."],
    "requests": [{"column": "entered", "why": "to tell late entry from odd hours"}],
    "weeks": {"instrument": {"FS-07": []}, "ward": {}},
}


def an_import(**facts) -> Import:
    """Larch's export of spring, taken in."""
    told = {
        "kind": "readings", "label": "CSV 3fa2c1", "digest": "3fa2c1", "rows": 5010, "taken": 4990,
        "already_here": 15, "set_aside": 5, "repaired": 3, "mapping": {"columns": {"time": "Obs time"}, "filled": []},
        "first": datetime(2026, 1, 5, tzinfo=UTC), "last": datetime(2026, 6, 28, tzinfo=UTC),
        "reasons": [
            {"role": "reason", "code": "reads-lo", "count": 5, "example_rows": [7, 19]},
            {"role": "repair", "code": "unit-put-right", "count": 3, "example_rows": [44]},
        ],
    }  # fmt: skip
    return Import.objects.create(**told | facts)


def a_review(*findings, people=False) -> Review:
    """A review that left these findings (by default: FS-07 and Larch)."""
    made = Review.objects.create(
        options={"people": people}, result=deepcopy(RESULT), supplement=deepcopy(SUPPLEMENT), version="0.1.0"
    )
    for order, data in enumerate(findings or (FS07, LARCH)):
        a_finding(made, data, order=order)
    return made


def a_finding(review, data, **facts) -> Finding:
    """One finding of a review."""
    about = data["subject"]
    key = f"{data['kind']}|{about['type']}|{about['id']}"
    return Finding.objects.create(
        **{"key": key, "kind": data["kind"], "subject_type": about["type"], "subject_id": about["id"],
           "data": data, "first_review": review, "last_review": review} | facts
    )  # fmt: skip


def a_register() -> Instrument:
    """FS-07 of Larch, cleaned once, and FS-08."""
    found = Instrument.objects.create(
        name="FS-07", ward="Larch", unit="C", kind="forehead-scan", model="Model A"
    )
    Instrument.objects.create(name="FS-08", ward="Larch", listed=False)
    Cleaning.objects.create(instrument=found, time=datetime(2026, 2, 1, 9, 0, tzinfo=UTC), part="lens")
    return found


def weeks(n=12, mean=-0.4):
    """Weekly differences of FS-07."""
    monday = date(2026, 1, 5)
    return [
        {"week": (monday + timedelta(weeks=k)).isoformat(), "n": 30 + k, "mean_c": mean, "low_c": mean - 0.1,
         "high_c": mean + 0.1}
        for k in range(n)
    ]  # fmt: skip


def charts_of_fs07(monkeypatch):
    """FS-07 was charted for twelve weeks; nothing else was."""
    from browline.services.review import series

    points = {"FS-07": weeks()}
    monkeypatch.setattr(
        series,
        "series",
        lambda book, subject, name: series.WeekSeries(subject, name, rows(WeekRow, points.get(name, []))),
    )
