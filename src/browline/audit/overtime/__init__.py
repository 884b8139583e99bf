"""Over time and between wards: has a share or a level changed by more than chance brings?

    read_runs(values)                     run chart, rules that grow with its length
    proportion_chart(counts, totals)      p′ chart, or exact limits where events are few
    ewma_chart(z), cusum_chart(z)         small lasting shifts of standardised values
    step(counts, totals)                  since when a share is different
    funnel(names, counts, totals)         which wards stand apart from the others
    runlength.cusum, .ewma, .limit_for    how often such charts are wrong, and how soon they are right

Every answer says how often it is wrong while nothing changes, and "too few to tell" is an answer.
"""

from browline.audit.overtime import runlength
from browline.audit.overtime.between import Overdispersion, additive, multiplicative
from browline.audit.overtime.cusum import CusumChart, cusum_chart
from browline.audit.overtime.ewma import EwmaChart, ewma_chart
from browline.audit.overtime.funnel import Funnel, Unit, funnel
from browline.audit.overtime.outcome import FunnelPosition, Outcome
from browline.audit.overtime.proportion_chart import Method, ProportionChart
from browline.audit.overtime.proportions import exact_chart, p_chart, p_prime_chart, proportion_chart
from browline.audit.overtime.runs import Runs, read_runs
from browline.audit.overtime.since import Step, step

__all__ = [
    "CusumChart",
    "EwmaChart",
    "Funnel",
    "FunnelPosition",
    "Method",
    "Outcome",
    "Overdispersion",
    "ProportionChart",
    "Runs",
    "Step",
    "Unit",
    "additive",
    "cusum_chart",
    "ewma_chart",
    "exact_chart",
    "funnel",
    "multiplicative",
    "p_chart",
    "p_prime_chart",
    "proportion_chart",
    "read_runs",
    "runlength",
    "step",
]
