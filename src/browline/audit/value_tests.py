"""Everything that is asked of the numbers charted in one unit, in one place."""

from dataclasses import dataclass

from browline.audit.bunching import Bunching, bunching
from browline.audit.histograms import Table
from browline.audit.pairs import Successive
from browline.audit.problem import Problem
from browline.audit.repeated_values import Carried
from browline.audit.repeats import batches, copies
from browline.audit.spike import Spikes, find

SPIKE_PASSED = 0.005
"""Share of a ward's readings in excess at one value that is let pass. Our choice; see the studies."""


@dataclass(frozen=True)
class ValueTests:
    """What was found in the numbers charted in one unit."""

    table: Table
    spikes: Spikes
    copies: tuple[Carried, ...]
    copy_pairs: Successive
    batches: tuple[Carried, ...]
    batch_pairs: Successive
    bunching: tuple[Bunching, ...]


def run_value_tests(problem: Problem, table: Table) -> ValueTests:
    """Spikes first: what they leave out stays out of the other questions."""
    cluster = problem.cluster[table.which]
    spikes = find(table, cluster, SPIKE_PASSED)
    copied, copy_pairs = copies(problem, table, spikes.smooth)
    batched, batch_pairs = batches(problem, table, spikes.smooth)
    near_line = bunching(table, spikes.smooth, cluster, problem.fever_c)
    return ValueTests(
        table=table,
        spikes=spikes,
        copies=copied,
        copy_pairs=copy_pairs,
        batches=batched,
        batch_pairs=batch_pairs,
        bunching=near_line,
    )
