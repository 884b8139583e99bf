"""Is it fit to use today, and where is it?

    solve(Problem(now, register, sightings, cleanings, checks, charted, ...)) -> Fleet

Every instrument of the register is in exactly one place of a closed list, so that one count serves all:

    register = present + in use + not located + retired,    located share = (present + in use) / in service

Beside it: lenses that are due, batteries, units and modes that differ from the register, checks that are due, and
each ward's ready instruments against its need. `errands` is the list of what is to do; `told` says it in words.

Of questioned readings: `pareto` counts their causes out, `recurring` which instruments recur more than chance brings.
"""

from browline.kit.agents import damages_lens
from browline.kit.battery import BATTERY_READINGS, Battery, Power
from browline.kit.causes import Counted, Pareto, pareto, told_apart
from browline.kit.check import CHECK_DAYS, CheckDue, out_of_limits
from browline.kit.due import Lens, LensDue, Reason
from browline.kit.errand_words import Told, told
from browline.kit.errands import Errand, Kind, errands
from browline.kit.explain import counted, forecast, place_sentence, ward_sentence
from browline.kit.fleet import Count, Fleet
from browline.kit.mismatch import Mismatch
from browline.kit.names import look_alikes, same_name
from browline.kit.past import Past, due_days, past_from
from browline.kit.problem import Problem
from browline.kit.records import BATTERIES, LENSES, STATES, Charted, Checked, Cleaned, Entry, Seen
from browline.kit.recurring import Basis, Questioned, Recurrence, Recurring, recurring
from browline.kit.solve import solve
from browline.kit.wards import Fault, WardKit, at
from browline.kit.whereabouts import Place, State

__all__ = [
    "BATTERIES",
    "BATTERY_READINGS",
    "CHECK_DAYS",
    "LENSES",
    "STATES",
    "Basis",
    "Battery",
    "Charted",
    "CheckDue",
    "Checked",
    "Cleaned",
    "Count",
    "Counted",
    "Entry",
    "Errand",
    "Fault",
    "Fleet",
    "Kind",
    "Lens",
    "LensDue",
    "Mismatch",
    "Pareto",
    "Past",
    "Place",
    "Power",
    "Problem",
    "Questioned",
    "Reason",
    "Recurrence",
    "Recurring",
    "Seen",
    "State",
    "Told",
    "WardKit",
    "at",
    "counted",
    "damages_lens",
    "due_days",
    "errands",
    "forecast",
    "look_alikes",
    "out_of_limits",
    "pareto",
    "past_from",
    "place_sentence",
    "recurring",
    "same_name",
    "solve",
    "told",
    "told_apart",
    "ward_sentence",
]
