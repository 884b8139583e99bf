"""Invented hospitals for the studies of sites: one shape and one truth at a time, every seed given.

    y = 37 + alpha_s + l_s (rhythm + mu_e + z_e(t)) + v_{e,s} + a_d + g_o + h_w + u_{w,month} + eps

Forehead scanners are one fleet, and oral thermometers, also used in the armpit, another. The mouth is the reference.
"""

from dataclasses import dataclass, replace

import numpy as np

from browline.readings import Readings

START = 24.0 * 365 * 56
SITES = ("oral", "temporal", "axillary")
ORAL, TEMPORAL = 0, 1
ALPHA = (0.0, -0.25, -0.40)
USUAL = (0.30, 0.58, 0.12)
MONTH = 730.5


@dataclass(frozen=True)
class Shape:
    """How big, and how its patients come: `stays` of about `rounds` rounds each, `gap` hours apart."""

    name: str
    instruments: int
    wards: int
    stays: int
    rounds: float
    gap: float = 6.0
    days: float = 85.0

    def __str__(self) -> str:
        return f"{self.instruments} instruments, {self.wards} wards, {self.name}"


SHAPES = (
    Shape("many short stays", 3, 2, 320, 5),
    Shape("few long stays", 3, 2, 45, 36),
    Shape("few long stays", 6, 3, 60, 32, gap=4.0),
    Shape("many short stays", 8, 4, 450, 4.5, days=150.0),
    Shape("middling stays", 15, 6, 220, 12),
    Shape("many short stays", 40, 8, 600, 5),
    Shape("few long stays", 40, 8, 90, 36, gap=4.0),
)


@dataclass(frozen=True)
class Truth:
    """One truth; spreads in °C.

    - `freedom` of the errors (None: normal). `faults`: share of forehead readings low by an exponential of mean
      `fault_c`. `slopes`: the other sites rise by 0.75 to 1.2 °C where the mouth rises by 1, else by 1.
    - `surges`: share of stays with a fever that comes fast and goes slowly. `retaken`: chance that a reading that
      looks wrong is taken again at another site; `idle`: the chance without a reason.
    """

    name: str
    freedom: float | None = None
    faults: float = 0.0
    fault_c: float = 0.5
    slopes: bool = False
    surges: float = 0.0
    retaken: float = 0.0
    idle: float = 0.08
    mean_c: float = 0.10
    patient: float = 0.35
    course: float = 0.30
    hours: float = 14.0
    at_site: float = 0.12
    error: tuple[float, float, float] = (0.15, 0.22, 0.25)
    instrument: float = 0.08
    person: float = 0.05
    ward: float = 0.05
    month: float = 0.05


TRUTHS = (
    Truth("Gaussian"),
    Truth("t3 errors", freedom=3.0),
    Truth("low faults", faults=0.03),
    Truth("slope 0.75 to 1.2", slopes=True),
    Truth("surges of fever", surges=0.3),
    Truth("selected retakes", retaken=0.7),
)


@dataclass(frozen=True)
class Hospital:
    """What is charted, and what is true by site name.

    `offset_c`: the site's average reading less the mouth's in a patient at 37.0 °C, both as this fleet reads them;
    `typical_c`: the same of a sound reading; `slope`.
    """

    readings: Readings
    offset_c: dict[str, float]
    typical_c: dict[str, float]
    slope: dict[str, float]


def hospital(shape: Shape, truth: Truth, seed: int) -> Hospital:
    """One hospital of this shape and truth."""
    rng = np.random.default_rng(seed)
    slope = np.array([1.0, *(rng.uniform(0.75, 1.2, 2) if truth.slopes else (1.0, 1.0))])
    stay, time, x = _rounds(shape, truth, rng)
    looks = _taken(shape, truth, slope, stay, time, x, rng)
    return _charted(shape, truth, slope, looks)


def _rounds(shape, truth, rng):
    """Stay, time and temperature less 37.0 of every round, the course included, in the order of stay and time."""
    rounds = 2 + rng.geometric(1 / (shape.rounds - 1), shape.stays)
    stay = np.repeat(np.arange(shape.stays), rounds)
    first = np.concatenate([[0], np.cumsum(rounds)[:-1]])
    hours = np.cumsum(shape.gap * rng.uniform(0.7, 1.3, len(stay)))
    hours = hours - hours[first][stay]
    time = START + rng.uniform(0, shape.days * 24, shape.stays)[stay] + hours
    x = truth.mean_c + rng.normal(0, truth.patient, shape.stays)[stay] + _course(truth, stay, hours, rng)
    x += 0.2 * np.cos(2 * np.pi * (time % 24 - 17) / 24)
    if truth.surges:
        x += _surges(truth, shape.stays, hours[np.cumsum(rounds) - 1], rng)(stay, hours)
    return stay, time, x


def _course(truth, stay, hours, rng):
    """The Ornstein-Uhlenbeck course, by its own recursion."""
    kept = np.where(np.diff(stay, prepend=-1) != 0, 0.0, np.exp(-np.diff(hours, prepend=0) / truth.hours))
    step = np.sqrt(1 - kept**2) * rng.normal(0, truth.course, len(stay))
    z = np.empty(len(stay))
    last = 0.0
    for i, (k, s) in enumerate(zip(kept.tolist(), step.tolist(), strict=True)):
        last = k * last + s
        z[i] = last
    return z


def _surges(truth, stays, longest, rng):
    """One surge a stay or none: up within three hours, down over a day."""
    size = np.where(rng.random(stays) < truth.surges, rng.gamma(4.0, 0.4, stays), 0.0)
    begins, lasts = rng.uniform(0, 1, stays) * longest, rng.uniform(8, 36, stays)

    def height(stay, hours):
        since = np.maximum(hours - begins[stay], 0.0)
        return size[stay] * (1 - np.exp(-since / 1.5)) * np.exp(-since / lasts[stay])

    return height


@dataclass(frozen=True)
class _Looks:
    """Readings in columns; `a`: the part of the reading's instrument, °C."""

    stay: np.ndarray
    time: np.ndarray
    site: np.ndarray
    instrument: np.ndarray
    person: np.ndarray
    ward: np.ndarray
    value: np.ndarray
    a: np.ndarray


def _taken(shape, truth, slope, stay, time, x, rng):
    """The rounds' readings and those taken again within a quarter of an hour."""
    parts = _parts(shape, truth, rng)
    site = rng.choice(3, len(stay), p=USUAL)
    first = _read(shape, truth, slope, parts, stay, time, x, site, rng)
    again = rng.random(len(stay)) < truth.idle
    if truth.retaken:
        before = np.where(np.diff(stay, prepend=-1) == 0, np.roll(first.value, 1), np.nan)
        odd = (
            (first.value < 36.3) | (first.value > 38.0) | (np.abs(np.nan_to_num(first.value - before)) > 0.8)
        )
        again |= odd & (rng.random(len(stay)) < truth.retaken)
    other = np.where(site == ORAL, TEMPORAL, ORAL)[again]
    later = time[again] + rng.uniform(2, 15, again.sum()) / 60
    second = _read(shape, truth, slope, parts, stay[again], later, x[again], other, rng)
    return _Looks(*(np.concatenate([getattr(first, f), getattr(second, f)]) for f in _Looks.__annotations__))


@dataclass(frozen=True)
class _Parts:
    home: np.ndarray
    own: np.ndarray
    scanner: np.ndarray
    person: np.ndarray
    ward: np.ndarray
    month: np.ndarray
    people: int


def _parts(shape, truth, rng):
    """The effects of this hospital. Instruments 0.. are scanners, the rest oral thermometers, half as many."""
    scanners, oral = shape.instruments, max(2, shape.instruments // 2)
    people = max(8, 4 * shape.wards)
    months = int(shape.days * 24 * 3 / MONTH) + 3
    month = np.empty((shape.wards, months))
    month[:, 0] = rng.normal(0, truth.month, shape.wards)
    for m in range(1, months):
        month[:, m] = 0.7 * month[:, m - 1] + np.sqrt(1 - 0.49) * rng.normal(0, truth.month, shape.wards)
    return _Parts(
        rng.integers(0, shape.wards, shape.stays),
        rng.normal(0, truth.at_site, (shape.stays, 3)),
        rng.normal(0, truth.instrument, scanners + oral),
        rng.normal(0, truth.person, people),
        rng.normal(0, truth.ward, shape.wards),
        month,
        people,
    )


def _read(shape, truth, slope, parts, stay, time, x, site, rng):
    """One reading for every row, to 0.1 °C."""
    n, fleet = len(stay), shape.instruments
    ward = parts.home[stay]
    scanner = _near(rng, ward, fleet, shape.wards, n)
    oral = fleet + _near(rng, ward, len(parts.scanner) - fleet, shape.wards, n)
    instrument = np.where(site == TEMPORAL, scanner, oral)
    person = _near(rng, ward, parts.people, shape.wards, n)
    noise = rng.normal(0, 1, n) if truth.freedom is None else 0.75 * rng.standard_t(truth.freedom, n)
    low = (site == TEMPORAL) & (rng.random(n) < truth.faults)
    error = np.array(truth.error)[site] * noise - low * rng.exponential(truth.fault_c, n)
    a = parts.scanner[instrument]
    value = 37.0 + np.array(ALPHA)[site] + slope[site] * x + parts.own[stay, site] + a + error
    value += parts.person[person] + parts.ward[ward] + parts.month[ward, ((time - START) / MONTH).astype(int)]
    return _Looks(stay, time, site, instrument, person, ward, np.round(value, 1), a)


def _near(rng, ward, many, wards, n):
    """One of `many`, mostly one that belongs to the ward."""
    anywhere = rng.integers(0, many, n)
    own = (ward + wards * rng.integers(0, max(1, many // wards), n)) % many
    return np.where(rng.random(n) < 0.75, own, anywhere)


def _charted(shape, truth, slope, looks):
    codes = {f: getattr(looks, f).astype(np.int32) for f in ("stay", "site", "instrument", "person", "ward")}
    codes["patient"] = codes["stay"]
    names = {f: tuple(f"{f[0].upper()}{k}" for k in range(int(c.max()) + 1)) for f, c in codes.items()}
    read = np.array([looks.a[looks.site == s].mean() for s in range(3)])
    offset = np.array(ALPHA) + read - read[ORAL]
    low = np.array([0.0, truth.faults * truth.fault_c, 0.0])
    return Hospital(
        Readings(looks.time, looks.time % 24, looks.value, codes, names | {"site": SITES}),
        dict(zip(SITES, (offset - low).tolist(), strict=True)),
        dict(zip(SITES, offset.tolist(), strict=True)),
        dict(zip(SITES, slope.tolist(), strict=True)),
    )


def without(truth: Truth, **changed: float) -> Truth:
    """The same truth with something changed."""
    return replace(truth, **changed)
