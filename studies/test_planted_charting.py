"""What the audit finds of planted charting: power, bias, and how often its 95 % intervals hold what was planted.

Run: make study, or pytest studies/test_planted_charting.py -s. Every ward of a book is planted alike, so what
control of false discoveries lets stand there says nothing of a lone ward; power is therefore told for a ward
that alone is planted among 30: seen means p <= 0.10 / 30. The size of the first spike, 11 % at 36.0, is
published for a hospital group (Jackson et al. 2023, Sci Rep, doi 10.1038/s41598-023-30691-z).

Told: wards whose own `least` is at most the planted share, so that the audit claims it would see it. Among
those the interval must hold the planted share 93 to 97 times in 100, Monte-Carlo error counted. `least` itself
is honest where wards planted with just that share are seen about 8 times in 10.
"""

from dataclasses import dataclass, replace

import numpy as np
from wards import above, anonymous, below, in_time_order

from browline.audit import Problem, Signal, solve
from browline.synthetic.many_wards import Charted, many_wards
from browline.synthetic.plant import Plant

FALSE_SHARE, AMONG = 0.10, 30
WARDS = {100: 600, 300: 500, 1000: 400, 3000: 200, 10_000: 100}
HELD = (0.93, 0.97)


@dataclass(frozen=True)
class Cell:
    """Wards of one size planted alike; `at`: the number expected to be found, "" where any will do."""

    test: str
    readings: int
    share: float
    plant: Plant
    charting: Charted = "C"
    at: str = ""
    wards: int = 0

    @property
    def many(self) -> int:
        return self.wards or WARDS[self.readings]


@dataclass(frozen=True)
class Found:
    """What a cell gave: `asked` signals about what was planted, of `many` wards."""

    cell: Cell
    asked: tuple[Signal, ...]

    @property
    def told(self) -> tuple[Signal, ...]:
        return tuple(s for s in self.asked if s.least <= self.cell.share)

    def seen(self, among: int) -> int:
        """How many would be seen, were each the only one planted among so many."""
        return sum(s.p <= min(FALSE_SHARE / among, 0.01) for s in self.asked)

    @property
    def held(self) -> int:
        return sum(s.low <= self.cell.share <= s.high for s in self.told)

    @property
    def least(self) -> float:
        return float(np.median([s.least for s in self.asked]))


def found(cells: list[Cell], seed: int = 1) -> list[Found]:
    """The audit of one book with the wards of one plant; several cells may ask different tests of it."""
    first = cells[0]
    made = many_wards(
        np.random.default_rng([seed, first.readings, round(1000 * first.share)]),
        wards=first.many,
        readings=first.readings,
        charting=first.charting,
        plant=first.plant,
    )
    signals = solve(Problem(anonymous(in_time_order(made)))).signals
    return [
        Found(
            c,
            tuple(
                s for s in signals if s.test == c.test and s.p is not None and (not c.at or s.label == c.at)
            ),
        )
        for c in cells
    ]


def show(name: str, f: Found) -> None:
    """One line of the table."""
    told, n = f.told, len(f.told)
    effects = np.array([s.effect for s in told]) - f.cell.share
    cover = f"{100 * f.held / n:.1f}{'' if holds(f) else '*'} of {n:,}" if n else "none told"
    bias = f"{100 * effects.mean():+.2f}" if n else ""
    print(
        f"| {name} | {f.cell.readings:,} | {100 * f.cell.share:.4g} | {100 * f.seen(AMONG) / f.cell.many:.1f} "
        f"| {100 * f.least:.1f} | {cover} | {bias} |",
        flush=True,
    )


def holds(f: Found) -> bool:
    return not (below(f.held, len(f.told), HELD[0]) or above(f.held, len(f.told), HELD[1]))


def heading(title: str) -> None:
    print(
        f"\n{title}\n| planted | readings | planted % | seen % | least % | held, of those told | bias |\n"
        "|---|---|---|---|---|---|---|",
        flush=True,
    )


def spike(readings: int, share: float, value: float = 36.0, charting: Charted = "C", wards: int = 0) -> Cell:
    in_f = charting in ("F", "C-as-F", "mixed-as-F")
    at = f"{value * 1.8 + 32 if in_f else value:.1f} °{'F' if in_f else 'C'}"
    return Cell("value-spike", readings, share, Plant(spike=(value, share)), charting, at, wards)


def least_is_honest(cells: list[Cell], again) -> list[Found]:
    """Wards planted anew with the median `least` of the cell: `again(cell, least)` makes that cell."""
    out = []
    for f in (found([c], seed=2)[0] for c in cells):
        planted = again(f.cell, f.least)
        retried = found([planted], seed=3)[0]
        share = retried.seen(planted.many) / planted.many
        print(
            f"| {planted.test} | {planted.readings:,} | {100 * f.least:.1f} | {100 * share:.1f} |", flush=True
        )
        out.append(retried)
    return out


def test_a_spike_of_36():
    heading("36.0 °C set in place of what was measured; charted in °C")
    rows = []
    for n in WARDS:
        for share in (0.02, 0.05, 0.11, 0.20):
            rows += found([spike(n, share, wards=1000 if share == 0.11 and n <= 1000 else 0)])
            show("36.0 °C", rows[-1])
    assert not [f.cell for f in rows if not holds(f)]
    assert all(
        f.seen(AMONG) > 0.95 * f.cell.many for f in rows if f.cell.share >= 0.11 and f.cell.readings >= 1000
    )


def test_spikes_at_other_values_and_in_other_charts():
    heading("other values, other charts")
    cells = [
        spike(1000, share, value, charting)
        for value, charting in (
            (37.0, "C"), (36.5, "C"), (38.0, "C"), (36.0, "F"), (37.0, "F"), (37.0, "C-as-F"), (36.0, "F-as-C"),
            (36.0, "mixed"),
        )
        for share in (0.05, 0.11)
    ]  # fmt: skip
    rows = [found([c])[0] for c in cells]
    for f in rows:
        show(f"{f.cell.at}, charted {f.cell.charting}", f)
    assert not [f.cell for f in rows if not holds(f)]


def test_copies_and_batches():
    """Planted apart: two numbers that were batched and then both copied are equal again, a batch of no planting."""
    heading("copies and round batches")
    rows = []
    for test, shares in (("copied-values", (0.05, 0.10, 0.20, 0.40)), ("round-batch", (0.05, 0.10, 0.20))):
        for charting, sizes in (("C", WARDS), ("mixed-as-F", (1000,))):
            for n in sizes:
                for share in shares:
                    cell = replace(planted_for(test, n, share), charting=charting)
                    rows += found([cell])
                    show(f"{test}, charted {charting}", rows[-1])
    assert not [f.cell for f in rows if not holds(f)]


def kept_under(readings: int, share: float, slips: float, charting: Charted = "C") -> list[Cell]:
    """The edge's share and slips of unit in the same wards: slipped values are no part of the edge."""
    plant = Plant(edge=(38.0, share), unit_slips=slips)
    return [
        Cell(test, readings, s, plant, charting) for test, s in (("edge", share), ("instrument-unit", slips))
    ]


def test_the_edge_and_slips_of_unit():
    heading("values from 38.0 to 38.2 put down at 37.9, and values keyed in the other unit")
    rows = []
    for charting, sizes in (("C", (300, 1000, 3000, 10_000)), ("F", (3000,))):
        for n in sizes:
            for share, slips in ((0.3, 0.01), (0.5, 0.02), (0.8, 0.05)):
                rows += found(kept_under(n, share, slips, charting))
    for f in sorted(rows, key=lambda f: (f.cell.test, f.cell.charting)):
        show(f"{f.cell.test}, charted {f.cell.charting}", f)
    assert not [f.cell for f in rows if not holds(f)]


def test_least_is_what_is_seen_8_times_in_10():
    """Each ward alone among as many as its book holds, since `least` counts the wards looked at."""
    print("\n| test | readings | planted at least % | seen % |\n|---|---|---|---|", flush=True)
    rows = least_is_honest(
        [replace(spike(n, s), wards=400) for n, s in ((300, 0.08), (1000, 0.05), (3000, 0.03))],
        lambda c, least: spike(c.readings, least, wards=400),
    )
    for test, size, share in (
        ("copied-values", 1000, 0.2),
        ("round-batch", 1000, 0.1),
        ("edge", 10_000, 0.6),
    ):
        rows += least_is_honest(
            [replace(planted_for(test, size, share), wards=400 if size < 10_000 else 100)],
            lambda c, least: replace(planted_for(c.test, c.readings, least), wards=c.wards),
        )
    shares = [f.seen(f.cell.many) / f.cell.many for f in rows]
    assert all(0.55 <= s <= 0.92 for s in shares), shares


def planted_for(test: str, readings: int, share: float) -> Cell:
    """One test planted alone."""
    plant = {
        "copied-values": Plant(copies=share),
        "round-batch": Plant(batches=share),
        "edge": Plant(edge=(38.0, min(share, 1.0))),
    }[test]
    return Cell(test, readings, share, plant)
