"""Worlds the made cases of tests and studies come from: the model itself, and truths that differ from it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class World:
    """How a world differs from the model; the defaults do not.

    - `freedom` of all that is continuous at a site (None: normal; else t, scaled to the same spread).
    - `lag_times`, `lag_spread`: a lag is log-normal about the model's mean times `lag_times`; None: the model's values.
    - `together`: share of cases in which one draw decides the condition at every site of the patient.
    - `slips`, `own`, `instruments`, `surges`, `fevers`: by how much odds, spreads and weights are multiplied.
    - `bend`: °C per °C², by which a scanned site flattens away from 37 °C (others: a third of it).
    - `untrue`: share of the answers that are told without knowing, "no" for the most part.
    - `step_c`: values are rounded to it; 0: not.
    """

    name: str
    freedom: float | None = None
    lag_times: float = 1.0
    lag_spread: float | None = None
    together: float = 0.0
    slips: float = 1.0
    own: float = 1.0
    instruments: float = 1.0
    surges: float = 1.0
    fevers: float = 1.0
    bend: float = 0.0
    untrue: float = 0.0
    step_c: float = 0.1


MODEL = World("the model", step_c=0.0)
OTHERS = (
    World("heavier tails (t3)", freedom=3.0),
    World("other lags, longer", lag_times=1.5, lag_spread=0.8),
    World("conditions at all sites at once", together=0.8),
    World("slips three times as often", slips=3.0),
    World("larger differences of own", own=1.6, instruments=2.0),
    World("sites flatten (not linear)", bend=0.1),
    World("a third of answers untrue", untrue=0.33),
    World("surges twice as often, fever half", surges=2.0, fevers=0.5),
)
