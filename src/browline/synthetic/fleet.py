"""The fleet: forehead scanners on every ward, and ear, contact and bladder thermometers shared by a few.

An honest instrument is off by a small constant (sd 0.08 °C) and sinks very slightly as its lens gets dirty.
Faults go to scanners in steady use, so that each has readings enough to be found; spares are hardly used.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from browline.errors import NotUnderstood
from browline.synthetic.arrays import Flags, Floats, Generator, Ints, Texts, texts
from browline.synthetic.faults import Fault
from browline.synthetic.scale import Scale
from browline.synthetic.wards import Wards

KINDS = ("forehead-scan", "ear", "contact", "probe")
SCAN, EAR, CONTACT, PROBE = range(4)
LETTER = "FECP"
MODELS = {
    SCAN: ("Model F-1", "Model F-2"),
    EAR: ("Model E-1",),
    CONTACT: ("Model C-1",),
    PROBE: ("Model P-1",),
}
SHARES = {EAR: 0.10, CONTACT: 0.175, PROBE: 0.075}
OFFSET_SD, LARGEST_HONEST = 0.08, 0.18
LENS_PER_DAY = -0.003
SPARE_SHARE, SPARE_WEIGHT = 0.12, 0.03
NEGLECTED_SHARE = 0.15
NEW_SHARE = 0.15


@dataclass(frozen=True)
class Fleet:
    """d instruments; every array has d rows.

    - `kind`: index into `KINDS`. `ward`: home ward. `weight`: how readily it is picked up.
    - `offset`: °C, constant. `lens`: °C a day since the lens was cleaned. `step`: °C from `step_at` on.
    - `in_fahrenheit`: what it shows; `registered_fahrenheit`: what the register says.
    - `mode`: as the register says. `delivered`: share of the export at which it arrived.
    - `neglected`: cleaned far too seldom. `fault`: number in `faults`, -1 if honest.
    """

    id: Texts
    kind: Ints
    model: Texts
    mode: Texts
    ward: Ints
    weight: Floats
    offset: Floats
    lens: Floats
    step: Floats
    step_at: Floats
    in_fahrenheit: Flags
    registered_fahrenheit: Flags
    delivered: Floats
    neglected: Flags
    fault: Ints
    faults: tuple[Fault, ...]

    def __len__(self) -> int:
        return len(self.id)

    def of_kind(self, kind: int) -> Ints:
        """Indices of the instruments of one kind."""
        return np.flatnonzero(self.kind == kind)


def make_fleet(scale: Scale, wards: Wards, faults: Sequence[Fault], rng: Generator) -> Fleet:
    """Instruments for a scale, with `faults` planted on scanners of different wards as far as they reach."""
    kind = _kinds(scale.instruments)
    ward = _homes(kind, len(wards), rng)
    n = len(kind)
    number = {k: iter(rng.permutation(900)[: int((kind == k).sum())]) for k in range(4)}
    spare = (kind == SCAN) & (rng.random(n) < SPARE_SHARE)
    fault = _placed(kind, ward, spare, wards, faults, rng)
    ward = _moved(kind, ward, fault, wards)
    bad = fault >= 0
    size = np.array([faults[f].size_c if f >= 0 else 0.0 for f in fault])
    sort = np.array([faults[f].kind if f >= 0 else "" for f in fault])
    constant = (sort == "offset") | (sort == "mode")
    shows_f = np.isin(ward, wards.in_fahrenheit)
    return Fleet(
        id=texts([f"{LETTER[k]}{int(next(number[k])) + 1:04d}" for k in kind]),
        kind=kind,
        model=texts([str(rng.choice(MODELS[int(k)])) for k in kind]),
        mode=_modes(kind, fault, faults),
        ward=ward,
        weight=np.where(spare, SPARE_WEIGHT, np.where(bad, 1.0, rng.uniform(0.6, 1.4, n))),
        offset=np.where(
            constant, size, np.clip(rng.normal(0, OFFSET_SD, n), -LARGEST_HONEST, LARGEST_HONEST) * ~bad
        ),
        lens=np.where(sort == "lens", size, LENS_PER_DAY) * (kind == SCAN),
        step=np.where(sort == "step", size, 0.0),
        step_at=np.array([faults[f].since if f >= 0 else 0.0 for f in fault]),
        in_fahrenheit=np.where(sort == "unit", True, shows_f),
        registered_fahrenheit=shows_f,
        delivered=np.where(
            (kind == SCAN) & ~bad & (rng.random(n) < NEW_SHARE), rng.uniform(0.2, 0.6, n), 0.0
        ),
        neglected=(kind == SCAN) & ~bad & (rng.random(n) < NEGLECTED_SHARE),
        fault=fault,
        faults=tuple(faults),
    )


def _kinds(instruments: int) -> Ints:
    others = {k: max(2, round(share * instruments)) for k, share in SHARES.items()}
    kinds = [SCAN] * (instruments - sum(others.values()))
    return np.array(kinds + [k for k, many in others.items() for _ in range(many)], dtype=np.int64)


def _homes(kind: Ints, wards: int, rng: Generator) -> Ints:
    """Home wards: every kind goes round the wards, each from its own start."""
    home = np.empty(len(kind), dtype=np.int64)
    for k in range(4):
        members = np.flatnonzero(kind == k)
        home[members] = (
            np.arange(len(members)) * max(1, wards // len(members)) + rng.integers(wards)
        ) % wards
    return home


def _moved(kind: Ints, ward: Ints, fault: Ints, wards: Wards) -> Ints:
    """Home wards once all but one honest scanner of the ward with the spike have gone to other wards.

    Missing instruments make bad data: that ward has too few for its beds. A faulty one stays, and is the one.
    """
    plain = np.flatnonzero((wards.care == "ward") & ~np.isin(np.arange(len(wards)), wards.in_fahrenheit))
    others = plain[(plain != wards.spike) & (plain != wards.cold)]
    honest = np.flatnonzero((kind == SCAN) & (ward == wards.spike) & (fault < 0))
    faulty_stays = bool(((kind == SCAN) & (ward == wards.spike) & (fault >= 0)).any())
    goes = honest if faulty_stays else honest[1:]
    out = ward.copy()
    if len(others):
        out[goes] = np.resize(others, len(goes))
    return out


def _placed(
    kind: Ints, ward: Ints, spare: Flags, wards: Wards, faults: Sequence[Fault], rng: Generator
) -> Ints:
    """For each instrument the number of its fault or -1: one to a ward as long as there are wards."""
    out = np.full(len(kind), -1)
    plain = (wards.care[ward] == "ward") & ~np.isin(ward, wards.in_fahrenheit)
    fit = rng.permutation(np.flatnonzero((kind == SCAN) & ~spare & plain))
    turn = np.array([int((ward[fit[:i]] == ward[d]).sum()) for i, d in enumerate(fit)])
    turn += len(fit) * (ward[fit] == wards.cold)  # last: its own effect would hide the instrument's
    chosen = fit[np.argsort(turn, kind="stable")][: len(faults)]
    most = min(len(fit), int((kind == SCAN).sum()) // 2)
    if len(faults) > most:
        raise NotUnderstood(
            f"{len(faults)} faulty instruments were asked for.",
            f"Wanted at most {most} in a hospital of this size, so that honest ones remain.",
            "Ask for fewer faults or a larger hospital.",
        )
    out[chosen] = np.arange(len(faults))
    return out


def _modes(kind: Ints, fault: Ints, faults: Sequence[Fault]) -> Texts:
    """The register's word for the mode; a mode build may stand there as what it is, or as core."""
    known = [f >= 0 and faults[f].kind == "mode" and faults[f].registered for f in fault]
    usual = ("core", "core", "direct", "direct")
    return texts(["oral-equivalent" if k else usual[int(c)] for k, c in zip(known, kind, strict=True)])
