"""A small invented hospital for the tests of this room: every truth is an argument, every seed is given."""

from dataclasses import dataclass, field

import numpy as np

from browline.readings import FACTORS, Readings

START = 24.0 * 365 * 56


@dataclass(frozen=True)
class Truth:
    """Spreads in °C and planted offsets; `step` maps an instrument to (offset, hours from start)."""

    patient: float = 0.45
    course: float = 0.2
    reading: float = 0.2
    instrument: float = 0.08
    person: float = 0.05
    ward: float = 0.05
    offsets: dict[int, float] = field(default_factory=dict)
    step: dict[int, tuple[float, float]] = field(default_factory=dict)
    ward_offsets: dict[int, float] = field(default_factory=dict)


def readings(
    n: int,
    *,
    instruments: int,
    people: int,
    wards: int,
    seed: int,
    truth: Truth | None = None,
    days: float = 180.0,
) -> Readings:
    """n readings, about 8 a stay over four days, taken by any instrument and person of the stay's ward or another."""
    truth, rng = truth or Truth(), np.random.default_rng(seed)
    stays = max(n // 8, 1)
    stay = np.sort(rng.integers(0, stays, n))
    begins = rng.uniform(0, days * 24, stays)
    round_ = rng.integers(0, 8, n)
    time = begins[stay] + 12.0 * round_ + rng.uniform(0, 0.4, n)
    ward = rng.integers(0, wards, stays)[stay]
    instrument = rng.integers(0, instruments, n)
    person = rng.integers(0, people, n)
    site = rng.choice(3, n, p=[0.7, 0.2, 0.1])
    fixed = rng.normal(0, truth.instrument, instruments)
    fixed[list(truth.offsets)] = list(truth.offsets.values())
    stepped = np.zeros(n)
    for which, (size, at) in truth.step.items():
        fixed[which] = 0.0
        stepped += np.where((instrument == which) & (time >= at), size, 0.0)
    by_ward = rng.normal(0, truth.ward, wards)
    by_ward[list(truth.ward_offsets)] = list(truth.ward_offsets.values())
    hour = time % 24
    value = (
        37.0
        + np.array([0.0, 0.2, -0.4])[site]
        + 0.25 * np.cos(2 * np.pi * (hour - 17) / 24)
        + rng.normal(0, truth.patient, stays)[stay]
        + rng.normal(0, truth.course, (stays, 8))[stay, round_]
        + fixed[instrument]
        + stepped
        + rng.normal(0, truth.person, people)[person]
        + by_ward[ward]
        + rng.normal(0, truth.reading, n)
    )
    codes = {
        "patient": stay,
        "stay": stay,
        "site": site,
        "instrument": instrument,
        "person": person,
        "ward": ward,
    }
    names = {
        "patient": tuple(f"P{k}" for k in range(stays)),
        "stay": tuple(f"E{k}" for k in range(stays)),
        "site": ("temporal", "oral", "axillary"),
        "instrument": tuple(f"TT-{k:03d}" for k in range(instruments)),
        "person": tuple(f"N{k:03d}" for k in range(people)),
        "ward": tuple(f"Ward {k + 1}" for k in range(wards)),
    }
    return Readings(
        START + time, hour, np.round(value, 1), {f: codes[f].astype(np.int32) for f in FACTORS}, names,
        np.arange(n, dtype=np.int64),
    )  # fmt: skip


def without(readings_: Readings, *factors: str) -> Readings:
    """The same readings with these factors not charted."""
    codes = {f: np.full_like(c, -1) if f in factors else c for f, c in readings_.codes.items()}
    return Readings(readings_.time, readings_.hour, readings_.value, codes, readings_.names, readings_.row)
