"""The fit without a course against published teaching sets and against independent programs.

Oracles: numbers of lme4 (tools/lme4_oracle.R, kind: independent code), and printed values of Bates, Mächler,
Bolker & Walker 2015, J Stat Softw 67(1), and the lme4 manual (kind: published; typed from memory).
"""

import numpy as np
import pytest
from oracle_tables import code, crossed, lme4, ordinary, table

from browline.variation.outcome import Outcome

PUBLISHED = {
    "penicillin": (330.8606, {"plate": 0.8467, "sample": 1.9316, "reading": 0.5499}),
    "pastes": (246.9907, {"batch": 1.2874, "sample": 2.9041, "reading": 0.8234}),
    "dyestuff2": (161.8283, {"batch": 0.0, "reading": 3.7157}),
}
RESPONSE = {"penicillin": "diameter", "pastes": "strength", "dyestuff2": "Yield"}


def parts(name):
    """y, the constant, and the groupings of a set by their names in small letters."""
    c = {key.lower(): words for key, words in table(name).items()}
    y = c[RESPONSE[name].lower()].astype(float)
    groups = {key: code(c[key]) for key in ("plate", "batch", "sample") if key in PUBLISHED[name][1]}
    return y, np.ones((len(y), 1)), groups


def fitted(name):
    return ordinary(*parts(name))


@pytest.mark.parametrize("name", PUBLISHED)
def test_published_values(name):
    criterion, sds = PUBLISHED[name]
    got = fitted(name)
    assert got.criterion == pytest.approx(criterion, abs=5e-4)
    assert got.sds == pytest.approx(sds, abs=5e-4)


@pytest.mark.parametrize("name", PUBLISHED)
def test_agrees_with_lme4(name):
    oracle, got = lme4(name), fitted(name)
    assert got.criterion == pytest.approx(oracle["criterion"], abs=1e-6)
    said = {k.removeprefix("sd:").lower(): v for k, v in oracle.items() if k.startswith("sd:")}
    said["reading"] = said.pop("residual")
    assert got.sds == pytest.approx(said, rel=1e-5, abs=1e-6)
    assert got.found.point.solution.beta[0] == pytest.approx(oracle["fixed:(Intercept)"], rel=1e-5)
    assert got.fixed_sd()[0] == pytest.approx(oracle["se:(Intercept)"], rel=1e-5)


def test_effects_agree_with_lme4():
    oracle, got = lme4("penicillin"), fitted("penicillin")
    plates = [oracle[f"effect:plate:{name}"] for name in np.unique(table("penicillin")["plate"])]
    assert got.found.point.solution.u[:24] == pytest.approx(np.array(plates), rel=1e-4, abs=1e-5)


@pytest.mark.parametrize("as_stay", [False, True])
def test_a_fit_on_the_boundary_ends_at_exactly_zero(as_stay):
    y, x, groups = parts("dyestuff2")
    got = ordinary(y, x, {}, groups["batch"]) if as_stay else ordinary(y, x, groups)
    assert got.sds["stay" if as_stay else "batch"] == 0.0
    assert got.found.outcome is Outcome.BOUNDARY
    assert got.criterion == pytest.approx(lme4("dyestuff2")["criterion"], abs=1e-6)


def test_nested_through_the_stays_or_as_factors_is_the_same():
    y, x, groups = parts("pastes")
    through = ordinary(y, x, {}, groups["batch"], groups["sample"])
    beside = ordinary(y, x, groups)
    assert through.criterion == pytest.approx(beside.criterion, abs=1e-7)
    assert through.sds["stay"] == pytest.approx(beside.sds["batch"], rel=1e-5)
    assert through.sds["cell"] == pytest.approx(beside.sds["sample"], rel=1e-5)


def test_crossed_set_agrees_with_lme4():
    oracle, got = lme4("crossed"), crossed()
    assert got.criterion == pytest.approx(oracle["criterion"], abs=1e-6)
    theirs = {"stay": "stay", "cell": "episode", "reading": "Residual"}
    for factor, sd in got.sds.items():
        assert sd == pytest.approx(oracle[f"sd:{theirs.get(factor, factor)}"], rel=1e-5, abs=1e-6)
    fixed = np.array([v for k, v in oracle.items() if k.startswith("fixed:")])
    at = got.found.point.solution
    assert at.beta + np.eye(7)[0] * 37 == pytest.approx(fixed, rel=1e-5)
    assert got.fixed_sd() == pytest.approx([v for k, v in oracle.items() if k.startswith("se:")], rel=1e-4)
    instruments = np.array([oracle[f"effect:instrument:{k}"] for k in range(1, 13)])
    assert at.u[:12] == pytest.approx(instruments, rel=1e-4, abs=1e-6)


def test_agrees_with_statsmodels_on_a_nested_set():
    """Oracle: statsmodels MixedLM (independent code), random stay and episode within it."""
    pandas = pytest.importorskip("pandas")
    mixed = pytest.importorskip("statsmodels.formula.api").mixedlm
    c = table("crossed")
    few = code(c["stay"]) < 60
    rows = pandas.DataFrame(
        {"value": c["value"].astype(float), "stay": code(c["stay"]), "episode": c["episode"]}
    )[few]
    theirs = mixed(
        "value ~ 1", rows, groups="stay", re_formula="1", vc_formula={"episode": "0 + C(episode)"}
    ).fit(reml=True, method="lbfgs")
    stay, episode = rows.stay.to_numpy(), code(rows.episode.to_numpy())
    got = ordinary(rows.value.to_numpy() - 37, np.ones((len(rows), 1)), {}, stay, episode)
    assert got.criterion == pytest.approx(-2 * theirs.llf, abs=1e-5)
    assert got.sds["stay"] == pytest.approx(float(theirs.cov_re.iloc[0, 0]) ** 0.5, rel=1e-3)
    assert got.found.point.solution.beta[0] + 37 == pytest.approx(float(theirs.params["Intercept"]), abs=1e-4)
