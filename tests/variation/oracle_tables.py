"""Reads the oracle tables in tests/oracles made by tools/lme4_oracle.R."""

import csv
from pathlib import Path

import numpy as np

from browline.variation.design import Design, design

ORACLES = Path(__file__).parents[1] / "oracles"


def columns(name: str) -> dict[str, np.ndarray]:
    """A teaching set as columns of text."""
    with (ORACLES / f"{name}.csv").open() as file:
        rows = list(csv.DictReader(file))
    return {key: np.array([row[key] for row in rows]) for key in rows[0]}


def code(words: np.ndarray) -> np.ndarray:
    """Words as codes 0, 1, ... in the order of the alphabet."""
    return np.unique(words, return_inverse=True)[1].astype(np.int64)


def lme4(name: str) -> dict[str, float]:
    """What lme4 says of a set: sd:..., fixed:..., se:..., effect:..., criterion."""
    lines = (line.split("|") for line in (ORACLES / "lme4.txt").read_text().splitlines()[2:])
    return {what: float(value) for which, what, value in lines if which == name}


def crossed() -> Design:
    """The simulated crossed set as a design: stays and episodes nested, three crossed factors, two harmonics."""
    c = columns("crossed")
    angle = c["hour"].astype(float) * 2 * np.pi / 24
    site = c["site"].astype(int)
    harmonics = (np.cos(angle), np.sin(angle), np.cos(2 * angle), np.sin(2 * angle))
    x = np.column_stack([np.ones(len(site)), site == 1, site == 2, *harmonics])
    factors = {name: c[name].astype(np.int64) - 1 for name in ("instrument", "person", "ward")}
    return design(c["value"].astype(float) - 37, x, factors, {n: code(c[n]) for n in ("stay", "episode")})
