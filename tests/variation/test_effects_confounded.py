"""What cannot be told apart: planted confounding of each kind is found, and none where everything is crossed."""

import numpy as np
import pytest
from effects_sums import of

from browline.variation.effects.confounded import confounded, strong
from browline.variation.effects.contrasts import against, middle
from browline.variation.effects.integrate import integrated
from browline.variation.effects.joint_posterior import JointPosterior, joint_posterior
from browline.variation.effects.solved import solved
from browline.variation.levels import levels

SIZES = {"instrument": 6, "person": 10, "ward": 5}
NAMES = {n: tuple(f"{n}{k}" for k in range(size)) for n, size in SIZES.items()}


def reviewed(codes, seed, sds=None, true=None):
    """The integrated posterior of readings with these codes, and what each kind is compared with."""
    rng = np.random.default_rng(seed)
    effects = {n: rng.normal(0, 0.08, size) for n, size in SIZES.items()} | (true or {})
    h = of(rng, codes, effects)
    over = integrated(h.sums, h.parts, sds or dict.fromkeys(h.parts, 0.08))
    kinds = {n: levels(codes[n]) for n in codes}
    at = solved(h.sums, np.full(len(h.sums.zz), 0.08))
    variance = np.diag(at.covariance)
    chosen = {n: against(kinds[n], middle(kinds[n], at.u[p], variance[p])) for n, p in h.parts.items()}
    return over, chosen, kinds


def anywhere(seed, n=4000):
    rng = np.random.default_rng(seed)
    return {name: rng.integers(0, size, n) for name, size in SIZES.items()}


def found_with(codes, seed, **more):
    over, chosen, kinds = reviewed(codes, seed, **more)
    return confounded(over, chosen, kinds, NAMES)


def tie(codes, a, i, b, j):
    """Level i of a only ever with level j of b, and the other way round."""
    made = {name: code.copy() for name, code in codes.items()}
    both = (made[a] == i) | (made[b] == j)
    made[a][both], made[b][both] = i, j
    return made


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_everything_crossed_is_confounded_with_nothing(seed):
    assert found_with(anywhere(seed), seed) == {}


@pytest.mark.parametrize(
    ("a", "i", "b", "j"),
    [("ward", 4, "instrument", 5), ("person", 9, "instrument", 2), ("person", 1, "ward", 3)],
)
@pytest.mark.parametrize("off", [0.0, -0.5])
def test_a_planted_pair_is_found_and_no_other(a, i, b, j, off):
    effects = {b: np.where(np.arange(SIZES[b]) == j, off, 0.0) + np.linspace(-0.05, 0.05, SIZES[b])}
    found = found_with(tie(anywhere(4), a, i, b, j), 4, true=effects)
    assert set(found) == {(a, i), (b, j)}
    (there,), (back,) = found[a, i], found[b, j]
    assert (there.factor, there.name, back.factor, back.name) == (b, f"{b}{j}", a, f"{a}{i}")
    assert there.correlation == back.correlation <= -0.7
    assert there.sum_sd_c < 0.12


def test_it_is_found_where_the_best_sd_of_the_ward_is_nothing():
    """Plugging in a best sd of 0 would call the ward known and the instrument alone to blame."""
    codes = tie(anywhere(5), "ward", 4, "instrument", 5)
    sds = {"instrument": 0.08, "person": 0.08, "ward": 0.0}
    found = found_with(codes, 5, sds=sds, true={"ward": np.zeros(5)})
    assert ("ward", 4) in found and ("instrument", 5) in found


def test_the_sum_is_known_where_the_parts_are_not():
    """Oracle: the true effects of the readings."""
    effects = {"instrument": np.array([0, 0.02, -0.02, 0.01, -0.01, -0.5]), "ward": np.zeros(5)}
    codes = tie(anywhere(6, 12000), "ward", 4, "instrument", 5)
    over, chosen, kinds = reviewed(codes, 6, true=effects)
    pair = confounded(over, chosen, kinds, NAMES)["ward", 4][0]
    truth = (
        chosen["instrument"].contrasts(effects["instrument"])[5]
        + chosen["ward"].contrasts(effects["ward"])[4]
    )
    assert abs(pair.sum_c - truth) < 3 * pair.sum_sd_c
    own = joint_posterior(over, chosen)
    assert pair.sum_sd_c < 0.5 * np.sqrt(own.variance["ward"][4])


def test_together_against_every_node_written_out():
    """Oracle: the mixture's law of total covariance, with all of each node's covariance held."""
    over, chosen, _ = reviewed(anywhere(7, 300), 7)
    found = joint_posterior(over, chosen)
    order = np.argsort(-over.weight)
    used = order[: min(int(np.searchsorted(np.cumsum(over.weight[order]), 0.95)) + 1, 30)]
    weight, take = over.weight[used] / over.weight[used].sum(), np.zeros((21, 22))
    for name, part in over.parts.items():
        take[part, part] = chosen[name].contrasts(np.eye(part.stop - part.start))
    solutions = [over.solution(int(k)) for k in used]
    means = np.array([take @ np.append(s.u, s.beta) for s in solutions])
    inner = sum(w * take @ s.covariance @ take.T for w, s in zip(weight, solutions, strict=True))
    centre = weight @ means
    whole = inner + (weight[:, None] * (means - centre)).T @ (means - centre)
    for name, part in over.parts.items():
        assert found.mean[name] == pytest.approx(centre[part])
        assert found.variance[name] == pytest.approx(np.diag(whole)[part])
    assert found.across["instrument", "ward"] == pytest.approx(
        whole[over.parts["instrument"], over.parts["ward"]]
    )


@pytest.mark.parametrize(("share", "pairs"), [(0.9, 0), (0.4, 1)])
def test_two_that_are_both_known_are_no_finding(share, pairs):
    kinds = {name: levels(np.array([0])) for name in ("ward", "instrument")}
    one = {name: np.ones(1) for name in kinds}
    shares = {"ward": np.array([0.9]), "instrument": np.array([share])}
    found = JointPosterior(one, one, shares, {("ward", "instrument"): np.array([[-0.8]])})
    assert len(strong(found, "ward", "instrument", kinds)) == pairs
