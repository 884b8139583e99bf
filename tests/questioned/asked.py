"""What a problem asks of the model: odds after the answers, readings from the oldest, instruments. Own reading of
docs/derivations/course.md, shared by the oracles and by nothing in the program."""

import numpy as np

WORSENING, TOLD_R = 2.5, {"antipyretic": (2.0, -0.6), "warmed": (2.0, 0.8), "cooled": (2.0, -0.8)}
INFANTS = ("under-3-months", "3-12-months")
PREPARED_NONE, ROUNDED_SD_C = 0.95, 0.03


def oldest_first(problem):
    """Indices of the readings from the oldest to the newest; of the same minute, as they were given."""
    return sorted(range(len(problem.readings)), key=lambda i: -problem.readings[i].minutes_ago)


def surge(problem):
    """The chance of a surge, and its mean rate in °C per hour."""
    odds, rate = problem.priors.course.surge_odds, 0.0
    if problem.answer("worsening") == "yes":
        odds *= WORSENING
    for word, (times, r) in TOLD_R.items():
        if problem.answer(word) == "yes":
            odds, rate = odds * times, rate + r
    return odds / (1 + odds), rate


def levels(problem):
    """(weight, mean, sd) of each kind of level; weights sum to 1."""
    lower = problem.priors.older_c if problem.age == "65-up" else 0.0
    total = sum(k.weight for k in problem.priors.course.levels)
    return [(k.weight / total, k.mean_c + lower, k.sd_c) for k in problem.priors.course.levels]


def lags(problem, site):
    """(hours, weight) of the site's time constants."""
    infant = site == "rectal" and problem.age in INFANTS
    pairs = problem.priors.infant_lags if infant else problem.priors.sites[site].lags
    return [(minutes / 60, weight) for minutes, weight in pairs]


def weights(problem, shifts):
    """The chances of none and of each shift, after the answers."""
    times = {"yes": problem.priors.yes, "no": problem.priors.no, "unknown": 1.0}
    odds = [s.odds * (times[problem.answer(s.answer)] if s.answer else 1.0) for s in shifts]
    return np.array([1.0, *odds]) / (1 + sum(odds))


def when_prepared(chances):
    """The chances of none and of each condition at a prepared reading."""
    if len(chances) == 1 or chances[1:].sum() == 0:
        return np.eye(len(chances))[0]
    rest = (1 - PREPARED_NONE) * chances[1:] / chances[1:].sum()
    return np.array([PREPARED_NONE, *rest])


def instrument_of(problem, reading):
    """What tells one instrument from another: its name and kind, or its site where it has no name."""
    kind = problem.priors.sites[reading.site].kind
    return (reading.instrument, kind) if reading.instrument else ("", kind, reading.site)


def sound_offset(problem, instrument):
    """(mean, sd) of a sound instrument's own offset."""
    known = problem.priors.instruments.get(instrument[0]) if instrument[0] else None
    return (known.offset_c, known.sd_c) if known else (0.0, problem.priors.kinds[instrument[1]].sd_c)


def error_var(site):
    """Of one reading at a site, with what rounding to 0.1 °C adds."""
    return site.error_sd_c**2 + ROUNDED_SD_C**2
