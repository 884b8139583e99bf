"""What a joint model left of invented Larch and Maple: sites, drift, and a training that worked. Nothing of it real."""

LENS_DAYS = 18.0
BEFORE_CLEANING = {"after_cleaning_c": 0.2, "after_cleaning_sd_c": 0.05}


def sites() -> list[dict]:
    """Bladder is the reference; temporal squeezes fever and its two ways differ; rectal is taken as one for one."""
    none = {"offset_c": None, "low_c": None, "high_c": None}
    return [
        {"site": "bladder", "n": 900, "offset_c": 0.0, "low_c": 0.0, "high_c": 0.0, "slope": None, "slope_low": None,
         "slope_high": None, "sd_c": 0.08, "pairs": {"n": 0, **none}},
        {"site": "temporal", "n": 3500, "offset_c": -0.29, "low_c": -0.35, "high_c": -0.24, "slope": 0.87,
         "slope_low": 0.84, "slope_high": 0.91, "sd_c": 0.26,
         "pairs": {"n": 640, "offset_c": -0.41, "low_c": -0.45, "high_c": -0.38}},
        {"site": "rectal", "n": 500, "offset_c": 0.02, "low_c": -0.05, "high_c": 0.09, "slope": None,
         "slope_low": None, "slope_high": None, "sd_c": 0.12, "pairs": {"n": 44, **none}},
    ]  # fmt: skip


def uncharted() -> list[dict]:
    """The pairs' answer for temporal sinks by 0.03 °C for every tenth of first readings never charted."""
    return [
        {"share": k / 10, "offset_c": -0.41 - 0.03 * k, "low_c": -0.45 - 0.03 * k, "high_c": -0.38 - 0.03 * k}
        for k in range(5)
    ]


def training() -> dict:
    """The contract's part: readings after sign-off lie higher, as hoped."""
    return {
        "verdict": "changed-as-hoped", "effect_c": 0.14, "low_c": 0.07, "high_c": 0.21,
        "measures": [{"measure": "spread-between-people", "effect": -0.05, "low": -0.09, "high": -0.01, "unit": "°C"}],
        "sentence": "Practice changed as hoped. Readings charted after sign-off lie 0.14 °C higher than readings of the"
        " same months charted by people not yet signed off (95 % interval +0.07 to +0.21 °C).",
    }  # fmt: skip


MEANS = {-6: 0.01, -5: -0.02, -4: None, -3: 0.015, -2: -0.01, -1: 0.0, 0: 0.09, 1: 0.12, 2: 0.15}


def around() -> dict:
    """Nine months around sign-off; of the fourth before it too little is known."""
    months = [
        {"month": k, "pooled": abs(k) == 6, "n": 200 + k, "people": 30 + k, "mean_c": mean,
         "low_c": mean if mean is None or k == -1 else mean - 0.06,
         "high_c": mean if mean is None or k == -1 else mean + 0.06}
        for k, mean in MEANS.items()
    ]  # fmt: skip
    trend = {
        "slope_c": 0.002,
        "low_c": -0.01,
        "high_c": 0.014,
        "sentence": "No trend before sign-off was seen.",
    }
    return {"sentence": "How readings stood in the months around sign-off.", "months": months, "trend": trend}


def model() -> dict:
    """The supplement's part about the model."""
    checks = [
        {"sign": "retaken-for-an-unseen-reason", "answer": "seen", "sentence": "Patients read again were later higher.",
         "advice": "Plan pairs taken in every patient of a round."},
        {"sign": "first-readings-not-charted", "answer": "not-seen", "sentence": "No sign of it.", "advice": ""},
    ]  # fmt: skip
    plain = {
        "typical_c": None,
        "pairs_level_c": 37.1,
        "pairs_at_37": True,
        "naive_c": None,
        "minutes": None,
        "uncharted": [],
        "checks": [],
    }
    return {
        "spread": {"patient_sd_c": 0.27, "course_sd_c": 0.43, "course_hours": 28.0, "at_site_sd_c": 0.1,
                   "ward_sd_c": 0.03, "month_sd_c": 0.02, "instrument_sd_c": 0.16, "person_sd_c": 0.04,
                   "reading_sd_c": 0.25},
        "groups": [
            {"group": "ward", "patient_sd_c": 0.27, "course_sd_c": 0.43, "course_hours": 28.0},
            {"group": "intensive", "patient_sd_c": 0.4, "course_sd_c": 0.6, "course_hours": 20.0},
        ],
        "sites": [
            {**plain, "site": "bladder", "disagrees": False},
            {**plain, "site": "temporal", "disagrees": True, "typical_c": -0.15, "uncharted": uncharted(),
             "checks": checks},
            {**plain, "site": "rectal", "disagrees": False},
        ],
        "instruments": {
            "FS-07": {"typical_c": -0.2, "chance": 0.97, "drift_days": LENS_DAYS, "drift_chance": 0.9,
                      **BEFORE_CLEANING, "earlier_c": None, "partners": [{"factor": "ward", "name": "Larch"}]},
            "FS-08": {"typical_c": 0.03, "chance": 0.01, "drift_days": None, "drift_chance": None,
                      "after_cleaning_c": None, "after_cleaning_sd_c": None, "earlier_c": None, "partners": []},
        },
        "wards": {},
        "training": {
            "comparator": "readings of the same months charted by people not yet signed off",
            "advice": "Keep teaching as you do, and confirm with blinded re-reads before saying so outside.",
            "wards": 14, "people_signed_off": 120, "permutation_p": None,
            "why": ["Compared: 120 people signed off, 14 wards."],
            "beside": [
                "Staff signed off first are not a random sample: they may differ from those signed off later.",
                "Charts show practice, not accuracy: they cannot say which reading was right.",
                "Confirm with blinded re-reads: a second person who does not know the first value scans again.",
            ],
            "measures": [
                {"measure": "spread-between-people", "effect": -0.05, "low": -0.09, "high": -0.01, "unit": "°C",
                 "p_holm": 0.02, "sentence": "The spread between people was 0.05 °C smaller after sign-off."},
                {"measure": "spread-between-readings", "effect": None, "low": None, "high": None, "unit": "%",
                 "p_holm": None, "sentence": "The spread between readings: too few to tell."},
            ],
            "around": around(),
        },
    }  # fmt: skip
