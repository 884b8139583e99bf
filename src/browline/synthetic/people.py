"""Staff: identifiers with leading zeros, roles, home wards, who works days, nights or both, and technique.

Each person's technique shifts a scan by a constant and widens it; most are near zero, a few planted ones low
and wide (path off the artery, contact, damp skin). Everyone reads a little low until signed off.
Sizes are our assumptions; that technique faults pull a scan down is in practice (rows "scan too fast").
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Flags, Floats, Generator, Ints, Texts, texts
from browline.synthetic.names import make_names
from browline.synthetic.scale import Scale
from browline.synthetic.wards import Wards

TECHNIQUE_SD = 0.04
LOW_TECHNIQUE = (-0.42, -0.35, -0.30)
WIDE_SD = 0.25
BEFORE_SIGN_OFF = -0.08
KEPT_AFTER_SIGN_OFF = 0.3
DAYS, NIGHTS, BOTH = 0, 1, 2
PATTERN_SHARES = (0.25, 0.15, 0.60)
ROLES = ("Registered nurse", "Health care assistant", "Student nurse", "Bank nurse")
EDUCATOR = "Educator"


@dataclass(frozen=True)
class People:
    """p people; every array has p rows; the last one is the educator, who charts nothing.

    `id`, `name`, `role`: text. `ward`: home ward. `pattern`: DAYS, NIGHTS or BOTH. `technique`: °C on scans.
    `wide`: extra standard deviation of scans, °C. `planted`: technique far enough from zero to look for.
    """

    id: Texts
    role: Texts
    ward: Ints
    pattern: Ints
    technique: Floats
    wide: Floats
    planted: Flags
    name: Texts

    def __len__(self) -> int:
        return len(self.id)

    @property
    def educator(self) -> int:
        """Index of the educator."""
        return len(self.id) - 1


def make_people(scale: Scale, wards: Wards, rng: Generator) -> People:
    """Staff spread evenly over the wards; about one in sixty has a planted low and wide technique."""
    n = scale.staff
    numbers = np.sort(rng.choice(np.arange(101, 99_000), n + 1, replace=False))
    ward = np.append(rng.permutation(np.arange(n) % len(wards)), 0)
    pattern = np.append(rng.choice(3, n, p=PATTERN_SHARES), DAYS)
    planted = _planted(ward[:n], pattern[:n], wards, max(1, n // 60), rng)
    technique = rng.normal(0, TECHNIQUE_SD, n + 1)
    technique[planted] = np.resize(np.array(LOW_TECHNIQUE), int(planted.sum()))
    return People(
        id=texts([f"{k:06d}" for k in numbers]),
        role=np.append(rng.choice(texts(ROLES), n, p=[0.5, 0.35, 0.08, 0.07]), EDUCATOR),
        ward=ward,
        pattern=pattern,
        technique=technique,
        wide=np.where(planted, WIDE_SD, 0.0),
        planted=planted,
        name=make_names(n + 1, rng),
    )


def _planted(ward: Ints, pattern: Ints, wards: Wards, number: int, rng: Generator) -> Flags:
    """Who has the low technique: people of ordinary wards who work both shifts, at most one of a ward."""
    out = np.zeros(len(ward) + 1, dtype=bool)
    likely = rng.permutation(np.flatnonzero((wards.care[ward] == "ward") & (pattern == BOTH)))
    per_ward = likely[np.unique(ward[likely], return_index=True)[1]]
    out[rng.permutation(per_ward)[:number]] = True
    return out
