"""Which kind of care a ward gives, as most of its readings name it, and which readings lack their site."""

from dataclasses import replace

import numpy as np

from browline import audit
from browline.readings import CARES
from browline.synthetic.many_wards import many_wards


def _problem(care):
    """Three wards of forty readings; `care` int8[3, 40]."""
    made = many_wards(np.random.default_rng(1), wards=3, readings=40).readings
    said = np.empty(len(made), np.int8)
    for w in range(3):
        said[made.codes["ward"] == w] = care[w]
    return audit.Problem(replace(made, charted=replace(made.charted, care=said)))


def test_most_of_those_that_name_a_kind_decide():
    intensive, theatre = CARES.index("intensive"), CARES.index("theatre")
    mostly_silent = [intensive] * 9 + [theatre] * 4 + [-1] * 27
    problem = _problem([mostly_silent, [-1] * 40, [theatre] * 40])
    assert problem.care.tolist() == [intensive, -1, theatre, -1]


def test_a_site_is_missing_where_it_is_unknown_or_not_said():
    made = many_wards(np.random.default_rng(1), wards=2, readings=40).readings
    site = made.codes["site"].copy()
    site[:5], site[5:12] = -1, len(made.names["site"])
    names = {**made.names, "site": (*made.names["site"], "unknown")}
    problem = audit.Problem(replace(made, codes={**made.codes, "site": site}, names=names))
    assert np.flatnonzero(problem.site_missing).tolist() == list(range(12))
