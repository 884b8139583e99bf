"""The fit against published teaching sets and against an independent program.

Oracles: numbers of lme4 (tools/lme4_oracle.R, kind: independent code), and printed values of Bates, Mächler,
Bolker & Walker 2015, J Stat Softw 67(1), and the lme4 manual (kind: published; typed from memory).
"""

import numpy as np
import pytest
from oracle_tables import code, columns, crossed, lme4

from browline.variation.design import design
from browline.variation.fit import fit
from browline.variation.outcome import Outcome

PUBLISHED = {
    "penicillin": (330.8606, {"plate": 0.8467, "sample": 1.9316}, 0.5499),
    "pastes": (246.9907, {"batch": 1.2874, "sample": 2.9041}, 0.8234),
    "dyestuff2": (161.8283, {"batch": 0.0}, 3.7157),
}


def fitted(name):
    c = columns(name)
    response, factors = {
        "penicillin": ("diameter", {"plate": "plate", "sample": "sample"}),
        "pastes": ("strength", {"batch": "batch", "sample": "sample"}),
        "dyestuff2": ("Yield", {"batch": "Batch"}),
    }[name]
    y = c[response].astype(float)
    return fit(design(y, np.ones((len(y), 1)), {k: code(c[v]) for k, v in factors.items()}))


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_values(name):
    criterion, sds, sigma = PUBLISHED[name]
    got = fitted(name)
    assert got.criterion == pytest.approx(criterion, abs=5e-4)
    assert got.sigma == pytest.approx(sigma, abs=5e-4)
    for factor, sd in sds.items():
        assert got.sd(factor) == pytest.approx(sd, abs=5e-4)


@pytest.mark.parametrize("name", PUBLISHED)
def test_agrees_with_lme4(name):
    oracle, got = lme4(name), fitted(name)
    assert got.criterion == pytest.approx(oracle["criterion"], abs=1e-6)
    assert got.sigma == pytest.approx(oracle["sd:Residual"], rel=1e-5)
    sd = {k.removeprefix("sd:").lower(): v for k, v in oracle.items() if k.startswith("sd:")}
    for factor in got.names:
        assert got.sd(factor) == pytest.approx(sd[factor], rel=1e-5, abs=1e-6)
    assert got.at.beta[0] == pytest.approx(oracle["fixed:(Intercept)"], rel=1e-5)
    assert got.at.beta_sd()[0] == pytest.approx(oracle["se:(Intercept)"], rel=1e-5)


def test_effects_agree_with_lme4():
    oracle, got = lme4("penicillin"), fitted("penicillin")
    plates = [oracle[f"effect:plate:{name}"] for name in np.unique(columns("penicillin")["plate"])]
    assert got.at.u[:24] == pytest.approx(np.array(plates), rel=1e-4, abs=1e-5)


def test_a_fit_on_the_boundary_ends_at_exactly_zero():
    got = fitted("dyestuff2")
    assert got.tau[0] == 0.0
    assert got.outcome is Outcome.BOUNDARY


@pytest.mark.parametrize("names", [("batch", "sample"), ("batch",)])
def test_nested_through_the_nest_or_as_factors_is_the_same(names):
    c = columns("pastes")
    y, groups = c["strength"].astype(float), {name: code(c[name]) for name in names}
    nested = fit(design(y, np.ones((len(y), 1)), {}, groups))
    crossed_ = fit(design(y, np.ones((len(y), 1)), groups))
    assert nested.criterion == pytest.approx(crossed_.criterion, abs=1e-7)
    assert nested.tau == pytest.approx(crossed_.tau, rel=1e-5)


def test_crossed_set_agrees_with_lme4():
    oracle, got = lme4("crossed"), fit(crossed())
    assert got.criterion == pytest.approx(oracle["criterion"], abs=1e-6)
    for factor in got.names:
        assert got.sd(factor) == pytest.approx(oracle[f"sd:{factor}"], rel=1e-5, abs=1e-6)
    fixed = np.array([v for k, v in oracle.items() if k.startswith("fixed:")])
    assert got.at.beta + np.eye(7)[0] * 37 == pytest.approx(fixed, rel=1e-5)
    assert got.at.beta_sd() == pytest.approx(
        np.array([v for k, v in oracle.items() if k.startswith("se:")]), rel=1e-4
    )
    instruments = np.array([oracle[f"effect:instrument:{k}"] for k in range(1, 13)])
    assert got.at.u[:12] == pytest.approx(instruments, rel=1e-4, abs=1e-6)


def test_agrees_with_statsmodels_on_a_nested_set():
    """Oracle: statsmodels MixedLM (independent code), random stay and episode within it."""
    pandas = pytest.importorskip("pandas")
    mixed = pytest.importorskip("statsmodels.formula.api").mixedlm
    c = columns("crossed")
    table = pandas.DataFrame(
        {"value": c["value"].astype(float), "stay": code(c["stay"]), "episode": c["episode"]}
    )
    table = table[table.stay < 60]
    theirs = mixed(
        "value ~ 1", table, groups="stay", re_formula="1", vc_formula={"episode": "0 + C(episode)"}
    ).fit(reml=True, method="lbfgs")
    nest = {"stay": table.stay.to_numpy(), "episode": code(table.episode.to_numpy())}
    got = fit(design(table.value.to_numpy() - 37, np.ones((len(table), 1)), {}, nest))
    assert got.criterion == pytest.approx(-2 * theirs.llf, abs=1e-5)
    assert got.sd("stay") == pytest.approx(float(theirs.cov_re.iloc[0, 0]) ** 0.5, rel=1e-3)
    assert got.at.beta[0] + 37 == pytest.approx(float(theirs.params["Intercept"]), abs=1e-4)
