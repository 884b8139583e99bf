"""How often honest wards are flagged: the share of wards with p < 0.05, and the share called seen, test by test.

Run: make study, or pytest studies/test_honest_wards.py -s (8 minutes of an idle core). 1,000 invented wards a row.
"Seen" is after control of false discoveries at 10 %: in a book of honest wards whatever is seen is false.

Probes in place are not asked about times, pace and copies. Where intensive care is scanned instead, rounds truly
begin on the hour and truly go from bed to bed within a minute: seen there is right, so those two are printed
and not counted as false.
"""

from collections import defaultdict
from collections.abc import Iterable

import numpy as np
import pytest
from wards import above, one_book, shows_fahrenheit

from browline.audit import Audit, Outcome, Problem, Signal, solve
from browline.synthetic import many_temperatures, sites
from browline.synthetic.many_wards import ManyWards, many_wards

SIZES = {100: 450, 600: 400, 5000: 150}
CHARTING = ("C", "F", "F-as-C", "C-as-F", "mixed", "mixed-as-F")
OF_VALUES = ("value-spike", "copied-values", "round-batch", "edge")
OF_PEERS = ("fever-missing", "narrow-spread", "site-switching")
TESTS = (*OF_VALUES, *OF_PEERS, "on-the-hour", "pace", "unit-pattern")
NOMINAL, SURE_AND_WRONG = 0.05, 0.025
ABOVE_NOMINAL = {"site-switching": 0.09}
"""Tests that pass 0.05, with the size they must not pass: large wards in one book with small ones, long tails."""
TRUE_HABITS = ("on-the-hour", "pace")
Row = dict[str, tuple[int, int, int]]


def row(signals: Iterable[Signal], truth: dict[str, bool]) -> Row:
    """test → (asked, with p < 0.05, seen); for the unit pattern (told, sure and wrong, -)."""
    asked: dict[str, list[Signal]] = defaultdict(list)
    for s in signals:
        asked[s.test].append(s)
    out = {}
    for test in TESTS:
        if test == "unit-pattern":
            wrong = [s for s in asked[test] if s.label and s.label != "FC"[not truth[s.subject_id]]]
            out[test] = len(asked[test]), len(wrong), 0
        else:
            p = [s.p for s in asked[test] if s.p is not None]
            seen = sum(s.outcome is Outcome.SEEN for s in asked[test])
            out[test] = len(p), int(np.sum(np.array(p) < NOMINAL)), seen
    return out


def cell(counted: tuple[int, int, int], nominal: float) -> str:
    """Percentages with p < 0.05 and seen; * where over nominal by more than Monte-Carlo error."""
    n, low, seen = counted
    star = "*" if above(low, n, nominal) else ""
    return "not asked" if not n else f"{100 * low / n:.1f}{star} / {100 * seen / n:.1f}"


def show(name: str, counted: Row) -> None:
    cells = [cell(counted[t], SURE_AND_WRONG if t == "unit-pattern" else NOMINAL) for t in TESTS]
    print(f"| {name} | " + " | ".join(cells) + " |", flush=True)


def heading(title: str) -> None:
    print(f"\n{title}\n| wards | " + " | ".join(TESTS) + " |\n" + "|---" * (len(TESTS) + 1) + "|", flush=True)


def hold(rows: dict[str, Row], apart: tuple[str, ...] = ()) -> None:
    """No test over nominal beyond Monte-Carlo error, but those named with their size; few seen."""
    for name, counted in rows.items():
        for test, (n, low, seen) in counted.items():
            if test in apart:
                continue
            nominal = SURE_AND_WRONG if test == "unit-pattern" else ABOVE_NOMINAL.get(test, NOMINAL)
            assert not above(low, n, nominal), f"{name}: {test} {low} of {n}"
            assert seen <= max(3, 0.01 * n), f"{name}: {test} seen on {seen} of {n} honest wards"


def audited(books: list[ManyWards]) -> tuple[Audit, dict[str, bool]]:
    """One audit of one book of all the wards."""
    return solve(Problem(one_book([b.readings for b in books]))), shows_fahrenheit(books)


def test_wards_of_every_charting_small_and_large_in_one_book():
    """1,000 wards of three sizes a book; the tests of values are told by size too."""
    rows, by_size = {}, {size: defaultdict(lambda: np.zeros(3, int)) for size in SIZES}
    heading(f"one book each of {' + '.join(f'{w} wards of {n:,}' for n, w in SIZES.items())} readings")
    for seed, charting in enumerate(CHARTING):
        rng = np.random.default_rng(seed)
        books = [many_wards(rng, wards=w, readings=n, charting=charting) for n, w in SIZES.items()]
        audit, truth = audited(books)
        show(charting, rows.setdefault(charting, row(audit.signals, truth)))
        for i, size in enumerate(SIZES):
            part = row((s for s in audit.signals if s.subject_id.startswith(f"{i}:")), truth)
            for test, counted in part.items():
                by_size[size][test] += counted
    for size, counted in by_size.items():
        told = {test: tuple(int(x) for x in counted[test]) for test in TESTS}
        show(f"all, {size:,} readings", rows.setdefault(f"{size}", told))
    hold(rows)


@pytest.mark.parametrize("size", (100, 600))
def test_a_thousand_wards_of_one_size(size):
    audit, truth = audited([many_wards(np.random.default_rng(11), wards=1000, readings=size)])
    counted = row(audit.signals, truth)
    heading("a book of one size")
    show(f"C, {size:,} readings", counted)
    hold({f"{size}": counted})


def test_intensive_care():
    """Core probes in place; and scanned by the hour, where times on the hour and a quick round are true."""
    heading("intensive care, 1,000 wards of 600 readings")
    for name, mix in (("probes", None), ("scanned", {"temporal": 1.0})):
        rng = np.random.default_rng(12)
        audit, truth = audited([many_wards(rng, wards=1000, care="intensive", site_mix=mix)])
        counted = row(audit.signals, truth)
        show(name, counted)
        hold({name: counted}, apart=TRUE_HABITS if mix else ())


def heavy_tailed(site, rng):
    """Errors of Student's law with 3 degrees of freedom, of the usual spread, and twice the usual low faults."""
    error = sites.ERROR_SD[site] * rng.standard_t(3, len(site)) / np.sqrt(3.0)
    low = rng.random(len(site)) < 2 * sites.LOW_SHARE[site]
    return error - low * rng.exponential(sites.LOW_MEAN, len(site)), low


HARDER = {
    "noise of 0.08 °C": {(sites, "ERROR_SD"): np.full(6, 0.08)},
    "very similar patients": {
        (many_temperatures, "PATIENT_SDS"): (0.08, 0.12),
        (many_temperatures, "COURSE_SDS"): (0.06, 0.10),
    },
    "similar, and noise of 0.08 °C": {
        (sites, "ERROR_SD"): np.full(6, 0.08),
        (many_temperatures, "PATIENT_SDS"): (0.08, 0.12),
        (many_temperatures, "COURSE_SDS"): (0.06, 0.10),
    },
    "heavier tails": {(sites, "errors"): heavy_tailed},
    "skewed by fevers": {(many_temperatures, "FEBRILE"): {"ward": (0.3, 0.5), "intensive": (0.3, 0.5)}},
}


def test_harder_honest_wards(monkeypatch):
    """Little noise, patients alike, long tails, many fevers: shapes that a smooth curve finds harder."""
    heading("harder, 1,000 wards of 600 readings charted in °C")
    rows = {}
    for seed, (name, changes) in enumerate(HARDER.items()):
        with monkeypatch.context() as changed:
            for (module, constant), value in changes.items():
                changed.setattr(module, constant, value)
            book = many_wards(np.random.default_rng(20 + seed), wards=1000)
        audit, truth = audited([book])
        show(name, rows.setdefault(name, row(audit.signals, truth)))
    hold(rows)
