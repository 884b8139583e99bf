"""Is it fit to use today, and where is it?

    solve(Problem(now, register, sightings, cleanings, checks, charted, ...)) -> Fleet

Every instrument of the register is in exactly one place of a closed list, so that one count serves all:

    register = present + in use + not located + retired,    located share = (present + in use) / in service

Beside it: lenses that are due, batteries, units and modes that differ from the register, checks that are due, and
each ward's ready instruments against its need. `list_tasks` is what is to do; `describe_task` words it.

Of questioned readings: `pareto` counts their causes out, `recurring` which instruments recur more than chance brings.
"""

from browline.instruments.agents import damages_lens
from browline.instruments.battery import BATTERY_READINGS, Battery, Power
from browline.instruments.causes import Counted, Pareto, pareto, reportable_wards
from browline.instruments.check import CHECK_DAYS, CheckDue, out_of_limits
from browline.instruments.due import Lens, LensDue, Reason
from browline.instruments.explain import counted, forecast, place_sentence, ward_sentence
from browline.instruments.fleet import Count, Fleet
from browline.instruments.mismatch import Mismatch
from browline.instruments.names import look_alikes, same_name
from browline.instruments.past import Past, due_days, past_from
from browline.instruments.problem import Problem
from browline.instruments.records import BATTERIES, LENSES, STATES, Charted, Checked, Cleaned, Entry, Sighted
from browline.instruments.recurring import Basis, Questioned, Recurrence, Recurring, recurring
from browline.instruments.solve import solve
from browline.instruments.task_text import TaskText, describe_task
from browline.instruments.tasks import Kind, Task, list_tasks
from browline.instruments.wards import Fault, WardKit, current_ward
from browline.instruments.whereabouts import Place, State

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
    "Sighted",
    "State",
    "Task",
    "TaskText",
    "WardKit",
    "counted",
    "current_ward",
    "damages_lens",
    "describe_task",
    "due_days",
    "forecast",
    "list_tasks",
    "look_alikes",
    "out_of_limits",
    "pareto",
    "past_from",
    "place_sentence",
    "recurring",
    "reportable_wards",
    "same_name",
    "solve",
    "ward_sentence",
]
