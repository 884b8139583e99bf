"""What acting on the answer costs, beside simple rules; printed also where a simple rule costs less.

Run: make study. A false alarm costs 1, a missed fever or a missed low core 10 or 1; the cases are those of
test_questioned_calibration.py. "Repeat once" sees a repeat that the answer and the other rules do not.
"""

import numpy as np
from worlds import MODEL, OTHERS

from questioned import RULES, chosen, decided, mean_loss, told

MISSED = (10.0, 1.0)
APART_C = 0.7


def losses(t, missed, where):
    """By name what the answer and each rule cost on average."""
    rules = {name: mean_loss(t, decided(t, key), missed, where) for key, name in RULES.items()}
    return {"the answer": mean_loss(t, chosen(t, missed), missed, where), **rules}


def test_losses(capsys):
    with capsys.disabled():
        for missed in MISSED:
            print(f"\nMean loss; a miss costs {missed:g}, a false alarm 1. The least of each row in bold.\n")
            print(f"| world | cases | cost of | {' | '.join(['the answer', *RULES.values()])} |")
            print("|---" * (len(RULES) + 4) + "|")
            for world in (MODEL, *OTHERS):
                for name, where in groups(told(world)).items():
                    print(row(world.name, name, where, losses(told(world), missed, where)))
    for missed in MISSED:
        for where in groups(told(MODEL)).values():
            of = losses(told(MODEL), missed, where)
            assert of["the answer"] <= min(of.values())


def groups(t):
    """All cases, and those whose readings lie apart."""
    return {"all": np.ones(len(t.core), bool), f"{APART_C:g} °C apart or more": t.apart_c >= APART_C}


def row(world, name, where, of):
    least = min(of.values())
    cells = " | ".join(f"**{loss:.3f}**" if loss == least else f"{loss:.3f}" for loss in of.values())
    return f"| {world} | {where.sum():,} | {name} | {cells} |"
