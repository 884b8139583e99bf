"""The dense twin of the joint model against R, and the tables it made against the twin.

Oracles: glmmTMB's ou() and nlme's corCAR1 (course_r.txt by tools/course_oracle.R; kind: independent code). Beside it,
done once by hand and not kept: one point evaluated in 30 digits by plain loops agreed to 3e-13.
"""

import numpy as np
import pytest
from course_tables import points, r_fits
from dense_course import course_set, slopes, solved, variances

FITS = r_fits()
POINTS = points()


def at_r(which):
    """The twin at R's optimum, and R's numbers."""
    table = FITS[which]
    return solved(course_set("course_" + which[0]), variances(table)), table


@pytest.mark.parametrize("which", FITS)
def test_the_twin_has_the_criterion_r_has(which):
    answer, table = at_r(which)
    mine = answer.reml if which.endswith("reml") else answer.ml
    assert mine.real == pytest.approx(table["criterion"], abs=1e-6)


@pytest.mark.parametrize("which", FITS)
def test_the_twin_has_the_fixed_effects_r_has(which):
    answer, table = at_r(which)
    theirs = [value for what, value in table.items() if what.startswith("fixed:")]
    assert answer.beta == pytest.approx(theirs, abs=1e-9 if which[0] != "c" else 1e-5)


@pytest.mark.parametrize("which", [w for w in FITS if w[0] != "c"])
def test_the_twin_has_the_instruments_effects_r_has(which):
    answer, table = at_r(which)
    theirs = {what.split(":")[2]: value for what, value in table.items() if "effect:instrument" in what}
    assert answer.effects == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize("which", FITS)
def test_r_gives_standard_errors_at_most_four_percent_wider(which):
    # glmmTMB's carry the uncertainty of the spreads, the twin's do not.
    answer, table = at_r(which)
    wider = [value for what, value in table.items() if what.startswith("se:")] / answer.beta_se - 1
    assert wider.min() > -1e-5
    assert wider.max() < 0.04


@pytest.mark.parametrize("which", [w for w in FITS if w[0] != "c" and "one_tau" not in w])
def test_r_stopped_at_the_optimum(which):
    at, criterion = variances(FITS[which]), int(which.endswith("ml") and not which.endswith("reml"))
    uphill = slopes(course_set("course_" + which[0]), at)
    assert max(abs(uphill[key][criterion] * at[key]) for key in at) < 1e-6


@pytest.mark.parametrize("point", POINTS, ids=lambda point: point["name"])
def test_the_points_are_what_the_twin_says(point):
    d = course_set(point["set"])
    answer = solved(d, variances(point["spreads"]), np.resize(point["weights"], len(d.y)))
    said = [getattr(answer, part).real for part in ("reml", "ml", "logdet_v", "logdet_xvx", "square")]
    kept = [point[part] for part in ("reml", "ml", "logdet_v", "logdet_xvx", "square")]
    assert said == pytest.approx(kept, abs=1e-9)


@pytest.mark.parametrize(
    "point", [p for p in POINTS if p["set"] == "course_b"], ids=lambda point: point["name"]
)
def test_the_stays_sums_give_the_criterion(point):
    """Woodbury: ``V = W + Z G Z'``, so the sums of the stays and G are all that the criterion needs."""
    sums = {key: np.array(value) for key, value in point["sums"].items()}
    variance = point["spreads"]["sd:instrument"] ** 2
    inner = np.eye(8) / variance + sums["zz"]
    gain = np.linalg.solve(inner, np.column_stack([sums["zx"], sums["zy"]]))
    xvx, xvy = sums["xx"] - sums["zx"].T @ gain[:, :-1], sums["xy"] - sums["zx"].T @ gain[:, -1]
    yvy = sums["yy"] - sums["zy"] @ gain[:, -1]
    logdet_v = sums["logdet"] + np.linalg.slogdet(inner)[1] + 8 * np.log(variance)
    assert logdet_v == pytest.approx(point["logdet_v"], abs=1e-8)
    assert np.linalg.slogdet(xvx)[1] == pytest.approx(point["logdet_xvx"], abs=1e-8)
    assert yvy - xvy @ np.linalg.solve(xvx, xvy) == pytest.approx(point["square"], abs=1e-7)


@pytest.mark.parametrize("point", POINTS[5:7] + POINTS[-1:], ids=lambda point: point["name"])
def test_complex_steps_are_the_derivatives(point):
    d = course_set(point["set"])
    weight, at = np.resize(point["weights"], len(d.y)), variances(point["spreads"])
    for key in ("tau" if "tau" in at else "tau:ward", "variance:patient_site", "slope:rectal"):
        by, step = point["by_parameter"][key], 1e-5 * at[key]
        above, below = (solved(d, at | {key: at[key] + sign * step}, weight) for sign in (1, -1))
        assert (above.reml - below.reml).real / (2 * step) == pytest.approx(by[0], rel=1e-5, abs=1e-4)
        assert (above.ml - below.ml).real / (2 * step) == pytest.approx(by[1], rel=1e-5, abs=1e-4)


def test_a_spread_shared_by_the_groups_is_the_same_for_each():
    point = next(point for point in POINTS if point["name"] == "groups, one tau")
    each = {key: value for key, value in point["spreads"].items() if key != "tau"}
    each |= {f"tau:{group}": point["spreads"]["tau"] for group in ("ward", "intensive")}
    assert solved(course_set("course_b"), variances(each)).reml.real == pytest.approx(point["reml"], abs=1e-9)
