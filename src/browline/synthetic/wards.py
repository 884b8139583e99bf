"""Wards: names, kinds of care, how patients spread over them, and what is peculiar to each.

Four wards carry a planted peculiarity: forehead readings high in the cold months (covered or not yet settled
skin), one value charted too often, the previous value copied, and the site left out. Others chart in
Fahrenheit, and some have one of the younger habits (see habits). Sizes are our assumptions.
"""

from dataclasses import dataclass

import numpy as np

from browline.synthetic.arrays import Floats, Generator, Ints, Texts, texts
from browline.synthetic.charting_habits import Habits, make_habits
from browline.synthetic.clock import Clock
from browline.synthetic.scale import Scale

WARD_SD = 0.04
MONTH_SD = 0.03
MONTH_CARRY = 0.6
COLD_MONTHS = (12, 1, 2)
COLD_EXCESS = 0.30


@dataclass(frozen=True)
class Wards:
    """w wards; every array has w rows.

    - `name`, `care`: words. `share`: of admissions, 0 where patients only pass through.
    - `offset`: °C, constant. `monthly`: °C, w × months from `first_month`. `middle_age`: years.
    - `in_fahrenheit`: the ward charts in °F.
    - `cold`, `spike`, `copies`, `siteless`: index of the ward with that peculiarity. `habits`: more of them.
    """

    name: Texts
    care: Texts
    share: Floats
    middle_age: Floats
    offset: Floats
    monthly: Floats
    first_month: int
    in_fahrenheit: Ints
    cold: int
    spike: int
    copies: int
    siteless: int
    habits: Habits

    def __len__(self) -> int:
        return len(self.name)

    def of_care(self, care: str) -> Ints:
        """Indices of the wards of one kind of care."""
        return np.flatnonzero(self.care == care)


def make_wards(scale: Scale, clock: Clock, rng: Generator) -> Wards:
    """Wards for a scale: one in ten intensive, one emergency department, the rest ordinary wards."""
    care, name = _names(scale.wards)
    plain = np.flatnonzero(care == "ward")
    odd = rng.permutation(plain)
    in_fahrenheit = np.sort(odd[4 : 4 + max(1, len(plain) // 10)]) if len(plain) > 4 else odd[3:4]
    first, last = clock.month(np.array(clock.span))
    return Wards(
        name=name,
        care=care,
        share=np.where(care == "ward", rng.uniform(0.8, 1.2, scale.wards), 0.0),
        middle_age=np.where(care == "ward", rng.choice([45.0, 60.0, 66.0, 74.0], scale.wards), 62.0),
        offset=np.clip(rng.normal(0, WARD_SD, scale.wards), -2 * WARD_SD, 2 * WARD_SD),
        monthly=_carried(scale.wards, int(last - first) + 1, rng),
        first_month=int(first),
        in_fahrenheit=in_fahrenheit,
        cold=int(odd[0]),
        spike=int(odd[1]),
        copies=int(odd[2 % len(odd)]),
        siteless=int(odd[min(3, len(odd) - 1)]),
        habits=make_habits(care, odd, 4 + len(in_fahrenheit)),
    )


def _names(wards: int) -> tuple[Texts, Texts]:
    intensive = max(1, round(wards / 10))
    plain = wards - intensive - 1
    care = ["emergency"] + ["intensive"] * intensive + ["ward"] * plain
    name = ["Emergency"] + [f"Intensive {i + 1}" for i in range(intensive)]
    name += [f"Ward {1 + i // 2}{'AB'[i % 2]}" for i in range(plain)]
    return texts(care), texts(name)


def _carried(wards: int, months: int, rng: Generator) -> Floats:
    """Month effects as AR(1): ``u_m = carry u_{m-1} + sqrt(1 - carry^2) sd e_m``."""
    u = rng.normal(0, MONTH_SD, (wards, months))
    for m in range(1, months):
        u[:, m] = MONTH_CARRY * u[:, m - 1] + np.sqrt(1 - MONTH_CARRY**2) * u[:, m]
    return u
