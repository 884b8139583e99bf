"""Writes what the dense twin says of the small sets at chosen parameters: python tools/course_points.py

tests/oracles/course_points.json holds a list of points. Each has
  set, spreads       the CSV and the parameters: sds in degrees, tau in hours, slopes of sites; a key with a care
                     group's name at its end is that group's own
  weights            error variances are divided by these, taken in turn down the rows: weight = weights[row % len]
  reml, ml           -2 log restricted likelihood and -2 log likelihood, both at the best fixed effects
  logdet_v, logdet_xvx, square, beta, beta_se, effects, effects_sd     the parts
  sums               of the stays' own covariance, y less 37, Z the instruments T1..T8 and X as in dense_course.py
  by_parameter       derivatives [reml, ml] by variances, tau in hours, slopes
Fixed columns: a constant, the sites but the first of the alphabet, cos and sin of the hour of the day, of its double.
"""

import json
import sys
from pathlib import Path

TESTS = Path(__file__).parents[1] / "tests"
sys.path.insert(0, str(TESTS / "variation"))

import numpy as np  # noqa: E402
from dense_course import Set, course_set, slopes, solved, stay_sums, variances  # noqa: E402

Values = dict[str, float]
ERRORS = {"sd:error:forehead": 0.3, "sd:error:oral": 0.2, "sd:error:rectal": 0.12}
PLAIN: Values = {"sd:patient": 0.3, "sd:course": 0.4, "tau": 8.0, "sd:patient_site": 0.15, **ERRORS}
CROSSED: Values = {"sd:instrument": 0.12, "sd:person": 0.08}
GROUPS: Values = {
    "sd:patient:ward": 0.3, "sd:patient:intensive": 0.5, "sd:course:ward": 0.4, "sd:course:intensive": 0.7,
    "sd:patient_site": 0.15, **ERRORS, "sd:instrument": 0.12,
}  # fmt: skip
ODD = [1.0, 0.5, 0.05, 2.0, 1.0]
POINTS: list[tuple[str, str, Values, list[float]]] = [
    ("ordinary spreads", "course_a", PLAIN | CROSSED, [1.0]),
    ("no course", "course_a", PLAIN | CROSSED | {"sd:course": 0.0}, [1.0]),
    ("no patient, no patient x site", "course_a", PLAIN | CROSSED | {"sd:patient": 0.0, "sd:patient_site": 0.0}, [1.0]),
    ("a course far shorter than the gaps", "course_a", PLAIN | CROSSED | {"tau": 0.05}, [1.0]),
    ("a course far longer than the stays", "course_a", PLAIN | CROSSED | {"tau": 2000.0}, [1.0]),
    ("one site squeezes", "course_a", PLAIN | CROSSED | {"slope:rectal": 0.9}, [1.0]),
    ("two sites squeeze, weighted", "course_a", PLAIN | CROSSED | {"slope:oral": 1.1, "slope:rectal": 0.75}, ODD),
    ("weighted", "course_a", PLAIN | CROSSED, ODD),
    ("no instrument, no person", "course_a", PLAIN, [1.0]),
    ("groups, one tau", "course_b", GROUPS | {"tau": 8.0}, [1.0]),
    ("groups, two taus", "course_b", GROUPS | {"tau:ward": 6.0, "tau:intensive": 14.0}, [1.0]),
    ("groups, all at once", "course_b",
     GROUPS | {"tau:ward": 6.0, "tau:intensive": 14.0, "slope:oral": 1.05, "slope:rectal": 0.9}, ODD),
]  # fmt: skip


def main() -> None:
    """Write the points."""
    made = [point(*asked) for asked in POINTS]
    text = ",\n".join(json.dumps(one) for one in made)
    (TESTS / "oracles" / "course_points.json").write_text(f"[\n{text}\n]\n")


def point(name: str, of: str, spreads: Values, weights: list[float]) -> dict[str, object]:
    """One point, as the twin answers it."""
    d, at = course_set(of), variances(spreads)
    weight = np.resize(weights, len(d.y))
    answer, sums = solved(d, at, weight), stay_sums(d, at, weight)
    parts = {key: getattr(answer, key).real for key in ("reml", "ml", "logdet_v", "logdet_xvx", "square")}
    return {
        "name": name, "set": of, "spreads": spreads, "weights": weights, **parts,
        "beta": answer.beta.tolist(), "beta_se": answer.beta_se.tolist(),
        "effects": answer.effects, "effects_sd": answer.effects_sd,
        "sums": {key: value.tolist() for key, value in sums.items()},
        "by_parameter": derivatives(d, spreads, weight),
    }  # fmt: skip


def derivatives(d: Set, spreads: Values, weight: np.ndarray) -> dict[str, tuple[float, float]]:
    """By every parameter of the point, and by every slope but the first site's."""
    free = {f"slope:{site}": 1.0 for site in d.sites[1:]}
    return slopes(d, variances(free | spreads), weight)


if __name__ == "__main__":
    main()
