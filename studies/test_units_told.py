"""How often the numbers of an instrument tell its unit, and how often they tell the wrong one.

Run: make study, or pytest studies/test_units_told.py -s (a minute). Invented wards of 1,000 and 5,000
readings, each with ten instruments; told by the number of readings of the instrument.
"""

import numpy as np
from wards import above, one_book, shows_fahrenheit

from browline.audit import Problem
from browline.audit.pattern import patterns
from browline.synthetic.many_wards import many_wards

SIZES = {1000: 100, 5000: 60}
FROM = (30, 60, 120, 250, 500)
SURE_AND_WRONG = 0.025


def test_the_unit_of_an_instrument_is_told_by_its_numbers():
    print(
        "\n| charted | from readings | instruments | right % | wrong % | both % | not told % |\n"
        + "|---" * 7
        + "|"
    )
    for seed, charting in enumerate(("C", "F", "F-as-C", "C-as-F", "mixed", "mixed-as-F")):
        rng = np.random.default_rng(seed)
        books = [many_wards(rng, wards=w, readings=n, charting=charting) for n, w in SIZES.items()]
        truth = shows_fahrenheit(books)
        found = patterns(Problem(one_book([b.readings for b in books])))
        size = np.searchsorted(FROM, [p.n for p in found], side="right") - 1
        for i, first in enumerate(FROM):
            told = [(p.shows, "CF"[truth[p.name]]) for p, s in zip(found, size, strict=True) if s == i]
            right = sum(said == true for said, true in told)
            both, silent = (sum(said == word for said, _ in told) for word in ("both", ""))
            wrong = len(told) - right - both - silent
            if told:
                shares = " | ".join(f"{100 * x / len(told):.1f}" for x in (right, wrong, both, silent))
                print(f"| {charting} | {first} | {len(told):,} | {shares} |", flush=True)
            assert not above(wrong + both, len(told), SURE_AND_WRONG), (charting, first)
