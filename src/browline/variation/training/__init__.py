"""Did training work? Readings charted after their person's sign-off against those of people not yet signed off.

    y = months + theta trained + instrument + person + ward + ward-month + trained (person's, ward's own) + stay

`exposure` says who was signed off when; `terms` and `fixed_columns` make the columns; `level` estimates theta;
`permutation` asks the order of the roll-out; `verdict` gives one of four answers.
"""

from typing import TYPE_CHECKING

from browline.lazy_door import lazy_door

if TYPE_CHECKING:
    from browline.variation.training.orders import Way as Way
    from browline.variation.training.orders import starts as starts
    from browline.variation.training.planner import WITHIN as WITHIN
    from browline.variation.training.planner import Rollout as Rollout
    from browline.variation.training.planner import Spreads as Spreads
    from browline.variation.training.prospects import compared as compared
    from browline.variation.training.prospects import prospect as prospect
    from browline.variation.training.readings_worth import effective_share as effective_share
    from browline.variation.training.readings_worth import single_reading_sd as single_reading_sd

__all__ = [
    "WITHIN",
    "Rollout",
    "Spreads",
    "Way",
    "compared",
    "effective_share",
    "prospect",
    "single_reading_sd",
    "starts",
]

_HOMES = {
    "Rollout": "planner",
    "Spreads": "planner",
    "WITHIN": "planner",
    "Way": "orders",
    "starts": "orders",
    "compared": "prospects",
    "prospect": "prospects",
    "effective_share": "readings_worth",
    "single_reading_sd": "readings_worth",
}

__getattr__ = lazy_door(__name__, _HOMES)
