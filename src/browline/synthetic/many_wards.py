"""Many wards at once, for studies and tests: charted readings with the numbers as they stood in the chart.

    charted = plant( round( site(level + rhythm + course + fever) + instrument + person + ward + error ) )

The wards have nothing to do with each other. Nobody is read twice in a round, so a repeat of a number comes
from chance or from what was planted.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from browline.quantities import celsius, fahrenheit
from browline.readings import CARES, AsCharted, Readings
from browline.synthetic import sites
from browline.synthetic.arrays import Flags, Floats, Generator, Ints
from browline.synthetic.many_rounds import SHIFT_BEGINS, SHIFT_HOURS, Visits, make_visits
from browline.synthetic.many_temperatures import (
    MIX,
    NURSES,
    Care,
    Taken,
    instruments_per_ward,
    take_temperatures,
)
from browline.synthetic.plant import Plant, Planted, planted
from browline.synthetic.tenths import converted, to_tenths

Charted = Literal["C", "F", "F-as-C", "C-as-F", "mixed", "mixed-as-F"]
KEYED_MINUTES, KEYED_LOG_SD = 4.0, 1.0


@dataclass(frozen=True)
class ManyWards:
    """What `many_wards` made: the readings, and for each of the n what was planted; bool[n] unless said.

    - `spiked`, `copied`, `batched`, `edged`: the number charted was not the one measured.
    - `slipped`: keyed in the other unit. `late`: keyed after the shift. `on_hour`: time set to a full hour.
    - `instrument_fahrenheit`: what the instrument showed. `measured`: float64[n], °C, unrounded.
    - `stay_before`, `round_before`: int[n], position of the stay's last reading and of the patient before in
      the round, -1 where there is none.
    """

    readings: Readings
    spiked: Flags
    copied: Flags
    batched: Flags
    edged: Flags
    slipped: Flags
    late: Flags
    on_hour: Flags
    instrument_fahrenheit: Flags
    measured: Floats
    stay_before: Ints
    round_before: Ints


def many_wards(
    rng: Generator,
    *,
    wards: int = 1000,
    readings: int = 600,
    charting: Charted = "C",
    site_mix: Mapping[str, float] | None = None,
    care: Care = "ward",
    plant: Plant = Plant(),  # noqa: B008 - frozen, plants nothing
) -> ManyWards:
    """`wards` invented wards with exactly `readings` readings each, by ward and in the order taken.

    - `charting`: ``C``/``F``: instruments and chart at 0.1 of that unit; ``F-as-C``, ``C-as-F``: each number
      shown is converted and rounded once more; ``mixed``, ``mixed-as-F``: half of each ward's instruments
      show °F, all is charted in °C (or °F).
    - `site_mix`: site → share; None takes the usual mix of a ward, or core probes in intensive care.
    - `care`: ``ward`` (rounds every 4 to 6 h) or ``intensive`` (hourly, each bed its own probe).
    - `plant`: what is not charted as measured; see `Plant` for what each share is a share of.

    >>> many = many_wards(np.random.default_rng(1), wards=3, readings=100, plant=Plant(spike=(36.0, 0.1)))
    >>> len(many.readings), bool((many.readings.value[many.spiked] == 36.0).all())
    (300, True)
    """
    visits = make_visits(wards, readings, care, rng)
    taken = take_temperatures(visits, wards, care, site_mix or MIX[care], rng)
    shows_f = _shows_fahrenheit(charting, taken.instrument % instruments_per_ward(care))
    chart_f = charting in ("F", "C-as-F", "mixed-as-F")
    displayed = to_tenths(np.where(shows_f, fahrenheit(taken.measured), taken.measured))
    honest = converted(displayed, shows_f, np.full(len(visits), chart_f))
    stay_before, round_before = visits.stay_before(), visits.round_before()
    numbers = planted(honest, stay_before, round_before, chart_f, plant, rng)
    slipped = rng.random(len(visits)) < plant.unit_slips
    late = (rng.random(visits.rounds) < plant.late)[visits.round_]
    on_hour = rng.random(len(visits)) < plant.round_hour
    return ManyWards(
        readings=_readings(
            visits,
            taken,
            {"instrument": wards * instruments_per_ward(care), "person": wards * NURSES, "ward": wards},
            np.where(on_hour, np.floor(visits.charted + 0.5), visits.charted),
            _charted(numbers, chart_f, slipped, taken.age, _delay(visits, late, rng), care),
        ),
        spiked=numbers.spiked,
        copied=numbers.copied,
        batched=numbers.batched,
        edged=numbers.edged,
        slipped=slipped,
        late=late,
        on_hour=on_hour,
        instrument_fahrenheit=shows_f,
        measured=taken.measured,
        stay_before=stay_before,
        round_before=round_before,
    )


def _shows_fahrenheit(charting: Charted, within_ward: Ints) -> Flags:
    """Every other instrument where units are mixed: every kind is owned in even numbers."""
    if charting.startswith("mixed"):
        odd: Flags = within_ward % 2 == 1
        return odd
    return np.full(len(within_ward), charting.startswith("F"))


def _delay(visits: Visits, late: Flags, rng: Generator) -> Floats:
    """Hours to the keying: minutes, or until some minutes after the end of the shift."""
    n = len(visits)
    soon = KEYED_MINUTES / 60.0 * np.exp(KEYED_LOG_SD * rng.standard_normal(n))
    remaining = SHIFT_HOURS - (visits.time - SHIFT_BEGINS) % SHIFT_HOURS
    return np.where(late, remaining + rng.uniform(0, 0.5, n), soon)


def _charted(
    numbers: Planted, chart_f: bool, slipped: Flags, age: Ints, delay: Floats, care: Care
) -> AsCharted:
    in_f = np.where(slipped, not chart_f, chart_f)
    tenths = converted(numbers.tenths, np.full(len(slipped), chart_f), in_f)
    return AsCharted(
        value=tenths / 10.0,
        fahrenheit=in_f,
        slipped=slipped,
        age=age.astype(np.float32),
        delay=delay.astype(np.float32),
        care=np.full(len(slipped), CARES.index(care), dtype=np.int8),
    )


def _readings(
    visits: Visits, taken: Taken, number: Mapping[str, int], time: Floats, charted: AsCharted
) -> Readings:
    codes = {
        "patient": visits.stay,
        "stay": visits.stay,
        "site": taken.site,
        "instrument": taken.instrument,
        "person": taken.person,
        "ward": visits.ward,
    }
    number = {**number, "stay": len(visits.begin), "patient": len(visits.begin)}
    names = {factor: tuple(f"{factor} {k + 1}" for k in range(many)) for factor, many in number.items()}
    return Readings(
        time=time,
        hour=time % 24.0,
        value=np.where(charted.fahrenheit, celsius(charted.value), charted.value),
        codes={factor: _int32(code) for factor, code in codes.items()},
        names={**names, "site": sites.NAMES},
        row=np.arange(1, len(visits) + 1, dtype=np.int64),
        source=np.zeros(len(visits), dtype=np.int32),
        charted=charted,
    )


def _int32(code: Ints) -> NDArray[np.int32]:
    return code.astype(np.int32)
