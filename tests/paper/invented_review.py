"""A review of an invented hospital, made by hand: what the report tests are told, and nothing of it real."""

from copy import deepcopy
from datetime import UTC, date, datetime, timedelta

MADE = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)
WARDS = ("Alder", "Birch", "Cedar", "Elm", "Hazel", "Larch", "Rowan", "Willow")
FLEET = "The whole fleet may be off: charts compare instruments with one another, not with a reference."
OFF = {"FS-03": -0.42, "FS-07": -0.38, "FS-12": 0.47, "FS-19": -0.55, "FS-26": -0.36, "FS-33": 0.41}
ANSWERED = {
    "FS-05": "lens-cleaned",
    "FS-14": "out-of-limits",
    "FS-22": "within-limits",
    "FS-28": "not-found",
    "FS-36": "mode-changed",
    "FS-40": "replaced",
}


def wobble(i: int) -> float:
    """Something between -1 and 1 that looks unplanned and is always the same."""
    return ((i * i * 7919 + i * 5347 + 104729) % 1999) / 1000 - 1


def months() -> list[dict]:
    made = []
    for i in range(11):
        readings = 9100 + round(600 * wobble(i))
        why = {
            "flagged-instrument": 180 + 18 * i,
            "implausible": 20 + i % 4,
            "no-number": 58 + i % 7,
            "site-missing": 190 if i < 6 else 60,
        }
        made.append(
            {"month": f"2026-{i + 1:02d}", "readings": readings, "unreliable": sum(why.values()), "why": why}
        )
    return made


TOTAL = sum(m["readings"] for m in months())


def weeks(offset: float, from_week: int, seed: int) -> list[dict]:
    made = []
    for i in range(46):
        n = 24 + round(18 * wobble(seed + i))
        mean = (offset if i >= from_week else 0.0) + 0.06 * wobble(3 * seed + i)
        half = 0.7 / n**0.5
        week = date(2026, 1, 5) + timedelta(weeks=i)
        made.append(
            {"week": week.isoformat(), "n": n, "mean_c": mean, "low_c": mean - half, "high_c": mean + half}
        )
    return made


def finding(
    kind: str, type_: str, id_: str, effect: float, n: int, sentence: str, action: str, **more
) -> dict:
    return {
        "kind": kind,
        "subject": {"type": type_, "id": id_},
        "effect": effect,
        "low": effect - 0.09,
        "high": effect + 0.09,
        "unit": "C",
        "probability": 0.98,
        "n": n,
        "since": None,
        "causes": [],
        "action": action,
        "sentence": sentence,
        "comparator": "the other instruments of its ward",
        "state": "new",
        "outcomes": [],
        **more,
    }


def off_instrument(name: str, effect: float, **more) -> dict:
    way = "low" if effect < 0 else "high"
    causes = [
        {
            "cause": "dirty or scratched lens",
            "probability": 0.6,
            "tell_apart": "clean the lens and compare again",
        },
        {"cause": "set to the other mode", "probability": 0.3, "tell_apart": "look at the mode setting"},
    ]
    n = sum(w["n"] for w in weeks(effect, 21, 10 * int(name[3:])) if w["week"] >= "2026-06-01")
    return finding(
        "instrument-offset",
        "instrument",
        name,
        effect,
        n=n,
        sentence=f"{name} reads about {abs(effect):.2f} °C {way} against the other instruments of its ward.",
        action="Bring a spare, tag it and send it for a check.",
        **{"since": "2026-06-01", "causes": causes, "probability": 0.97, **more},
    )


def findings() -> list[dict]:
    still = [off_instrument(name, effect, state="still there") for name, effect in OFF.items()]
    closed = [
        off_instrument(
            name,
            -0.4,
            state="closed",
            outcomes=[{"code": code, "at": "2026-09-14T09:30:00+00:00", "note": ""}],
        )
        for name, code in ANSWERED.items()
    ]
    spike = finding(
        "value-spike",
        "ward",
        "Hazel",
        0.083,
        n=4100,
        unit="share",
        sentence="On Hazel 36.0 °C is charted more often than its neighbours allow: 8.3 % more of all readings.",
        action="Ask the ward how 36.0 comes about; look at the form's default and at the number of instruments.",
        causes=[
            {"cause": "default in the form", "probability": None},
            {"cause": "no instrument at hand", "probability": None},
        ],
    )
    missing = finding(
        "site-missing",
        "ward",
        "Rowan",
        0.31,
        n=3900,
        unit="share",
        sentence="On Rowan 31 % of temperatures have no site charted.",
        action="Chart the site with every temperature; look at the form.",
    )
    ward = finding(
        "ward-offset",
        "ward",
        "Cedar",
        -0.34,
        n=5200,
        sentence="Cedar reads about 0.34 °C lower than other wards after allowing for its patients.",
        action="Compare instruments side by side on Cedar and observe scans.",
        comparator="all other wards",
    )
    return [*still, ward, spike, missing, *closed]


def instruments() -> list[dict]:
    made = []
    for i in range(1, 42):
        name = f"FS-{i:02d}"
        offset = OFF.get(name, 0.12 * wobble(i))
        n = 7 if i == 41 else 300 + 11 * i
        made.append(
            {
                "instrument": name,
                "n": n,
                "comparator": "the other instruments of its ward",
                "offset_c": offset,
                "low_c": offset - 0.09,
                "high_c": offset + 0.09,
                "probability_beyond": 0.97 if name in OFF else 0.01,
                "data_share": 0.9,
                "confounded_with": [],
                "drift_c_per_day": None,
                "drift_low": None,
                "drift_high": None,
                "since": "2026-06-01" if name in OFF else None,
            }
        )
    return made


def sites() -> list[dict]:
    def site(name: str, n: int, offset: float | None, pairs: tuple) -> dict:
        low, high = (None, None) if offset is None else (offset - 0.03, offset + 0.03)
        count, size = pairs
        paired = {
            "n": count,
            "offset_c": size,
            "low_c": None if size is None else size - 0.08,
            "high_c": None if size is None else size + 0.08,
        }
        slope = {"slope": None, "slope_low": None, "slope_high": None, "sd_c": 0.3}
        return {
            "site": name,
            "n": n,
            "offset_c": offset,
            "low_c": low,
            "high_c": high,
            **slope,
            "pairs": paired,
        }

    return [
        site("oral", 21000, 0.0, (0, None)),
        site("temporal", TOTAL - 29200, -0.21, (640, -0.13)),
        site("axillary", 6500, -0.35, (4, -0.2)),
        site("unknown", 1700, None, (0, None)),
    ]


def result() -> dict:
    return {
        "format": "browline-review/1",
        "readings": {
            "total": TOTAL,
            "used": TOTAL - 235 - 665,
            "patients": 4100,
            "stays": 4600,
            "instruments": 41,
            "people": 210,
            "wards": 8,
            "from": "2026-01-05T00:10:00",
            "until": "2026-11-22T23:50:00",
        },
        "reference_site": "oral",
        "sites": sites(),
        "spread": {
            "patient_sd_c": 0.31,
            "course_sd_c": 0.38,
            "course_hours": 18.0,
            "instrument_sd_c": 0.14,
            "person_sd_c": 0.06,
            "reading_sd_c": 0.24,
        },
        "instruments": instruments(),
        "wards": [
            {
                "ward": name,
                "n": 5200 if i else 8,
                "comparator": "all other wards",
                "offset_c": -0.34 if name == "Cedar" else 0.08 * wobble(i),
                "low_c": -0.4,
                "high_c": 0.2,
                "data_share": 0.9,
                "confounded_with": [],
            }
            for i, name in enumerate(WARDS)
        ],
        "training": {
            "verdict": "cannot-tell",
            "effect_c": None,
            "low_c": None,
            "high_c": None,
            "measures": [],
            "sentence": "Too few wards were still untaught to compare with.",
        },
        "findings": findings(),
        "limits": [FLEET, "Readings that were never charted cannot be judged."],
    }


def supplement() -> dict:
    return {
        "hospital": "Ashmere Hospital (invented)",
        "tolerance_c": 0.3,
        "false_share": 0.1,
        "reviewed_at": "2026-11-25T10:00:00Z",
        "fit_outcome": "converged",
        "months": months(),
        "weeks": {
            "instrument": {name: weeks(effect, 21, 10 * int(name[3:])) for name, effect in OFF.items()},
            "ward": {
                name: weeks(-0.34 if name == "Cedar" else 0.0, 0, 31 * i) for i, name in enumerate(WARDS)
            },
        },
        "exclusions": [
            {"code": "implausible", "count": 237, "sentence": "Implausible for a living patient: set aside."},
            {"code": "unit-fahrenheit", "count": 1412, "sentence": "Charted in °F: converted to °C."},
        ],
        "imports": [
            {
                "label": "charts, Jan to Nov 2026",
                "kind": "readings",
                "rows": TOTAL + 400 + 963,
                "taken": TOTAL,
                "already_here": 400,
                "set_aside": 963,
                "repaired": 1412,
            },
            {
                "label": "register",
                "kind": "instruments",
                "rows": 43,
                "taken": 43,
                "already_here": 0,
                "set_aside": 0,
                "repaired": 0,
            },
        ],
        "can_answer": ["Which instruments, wards and sites read apart from the others."],
        "cannot_answer": ["Whether a value was entered late: the time of entry is not in the export."],
        "requests": [{"column": "entered", "why": "tells a late batch entry from a reading taken on time"}],
        "events": [
            {"date": "2026-07-01", "what": "chart form changed: site is now a required field", "ward": ""},
            {"date": "2026-09-14", "what": "six instruments checked or exchanged", "ward": ""},
        ],
        "versions": {"browline": "0.1.0", "numpy": "2.4.6", "scipy": "1.17.1", "duckdb": "2.0.1"},
    }


def without_instruments() -> tuple[dict, dict, list[dict]]:
    """The same hospital when the export names neither instrument nor patient."""
    bare, extra = deepcopy(result()), deepcopy(supplement())
    bare.update(instruments=[], spread=None, training=None, wards=[])
    bare["readings"].update(patients=None, stays=None, instruments=None, people=None)
    for site in bare["sites"]:
        site.update(offset_c=None, low_c=None, high_c=None, pairs={"n": 0})
    kept = [f for f in findings() if f["kind"] in ("value-spike", "site-missing")]
    bare["findings"] = kept
    bare["limits"] = [FLEET, "Without a patient column, wards and sites cannot be compared fairly."]
    extra["weeks"] = {"instrument": {}, "ward": extra["weeks"]["ward"]}
    extra["cannot_answer"] = [
        "Which instrument is off: the export does not name it.",
        "Whether sites differ within a patient: the export has no patient.",
    ]
    extra["requests"] = [
        {"column": "instrument", "why": "finds the instrument that reads apart from the others"},
        {
            "column": "patient",
            "why": "compares readings within one patient, so that a sicker ward is not called faulty",
        },
    ]
    for month in extra["months"]:
        month["why"].pop("flagged-instrument")
        month["unreliable"] = sum(month["why"].values())
    return bare, extra, kept
