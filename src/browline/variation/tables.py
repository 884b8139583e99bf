"""The fit read off as tables: sites, spread, and each kind of effect."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import cached_property

import numpy as np

from browline.variation.cleaning import Contrast, after_cleaning
from browline.variation.design import Floats
from browline.variation.effects.contrasts import Contrasts, contrasts, partners
from browline.variation.fit import Fit
from browline.variation.levels import Levels
from browline.variation.ordinary import Ordinary
from browline.variation.problem import Problem
from browline.variation.residuals import residuals
from browline.variation.result import Z95, Effect, SiteEffect, Spread
from browline.variation.retakes import pair_estimate
from browline.variation.robust import robust_covariance
from browline.variation.since import Change

DISAGREE_C = 0.05
COMPARATOR = {
    "instrument": "the middle of this fleet's other instruments",
    "ward": "the middle of the other wards",
    "person": "the middle of the other people who charted",
}


@dataclass(frozen=True)
class Fitted:
    """The model, its fit, and the levels it was fitted with."""

    model: Ordinary
    fit: Fit
    kinds: Mapping[str, Levels]

    @cached_property
    def robust(self) -> Floats:
        """The robust covariance of effects and fixed columns over sigma^2, worked out once."""
        return robust_covariance(self.model.design, self.fit, residuals(self.model.design, self.fit))


def spread(fit: Fit) -> Spread:
    """Standard deviations in °C; None for a term the model does not have."""

    def sd(name: str) -> float | None:
        return fit.sd(name) if name in fit.names else None

    return Spread(sd("stay"), sd("episode"), None, sd("instrument"), sd("person"), sd("ward"), fit.sigma)


def site_table(problem: Problem, fitted: Fitted) -> tuple[SiteEffect, ...]:
    """The reference site first, with offset 0, then every other site with model and pairs side by side."""
    fit, columns = fitted.fit, fitted.model.columns
    sd = np.maximum(fit.at.beta_sd(), np.sqrt(np.diag(fitted.robust)[len(fit.at.u) :]) * fit.sigma)
    counts = np.bincount(problem.site, minlength=len(problem.sites))
    spreads = _own_spread(problem, fitted)
    made = [SiteEffect(problem.sites[0], int(counts[0]), 0.0, 0.0, 0.0, spreads[0], None)]
    for k, name in enumerate(problem.sites[1:], start=1):
        if ("site", name) in columns:
            j = columns.index(("site", name))
            made.append(_site(problem, k, int(counts[k]), float(fit.at.beta[j]), float(sd[j]), spreads[k]))
    return tuple(made)


def _site(problem: Problem, k: int, n: int, offset: float, sd: float, own: float | None) -> SiteEffect:
    """One site; where model and pairs differ by more than 0.05 °C it takes the wider interval."""
    low, high = offset - Z95 * sd, offset + Z95 * sd
    pairs = pair_estimate(problem, k)
    made = SiteEffect(problem.sites[k], n, offset, low, high, own, pairs)
    if pairs is None or pairs.offset_c is None or pairs.low_c is None or pairs.high_c is None:
        return made
    if abs(pairs.offset_c - offset) <= DISAGREE_C:
        return made
    if pairs.high_c - pairs.low_c > high - low:
        low, high = offset + pairs.low_c - pairs.offset_c, offset + pairs.high_c - pairs.offset_c
    return replace(made, low_c=low, high_c=high, disagrees=True)


def _own_spread(problem: Problem, fitted: Fitted) -> list[float | None]:
    """Each site's own measuring spread: ``sqrt(sum r_i^2 / sum diag(D^-1)_i)`` over its readings, r = D^-1 e."""
    left = residuals(fitted.model.design, fitted.fit)
    site = problem.site[fitted.model.design.order]
    squares, shares = np.bincount(site, left.left**2), np.bincount(site, left.share)
    counts = np.bincount(site)
    return [
        float(np.sqrt(q / w)) if n > 1 and w > 0 else None
        for q, w, n in zip(squares, shares, counts, strict=True)
    ]


def effect_tables(
    problem: Problem, fitted: Fitted, changes: Mapping[str, Mapping[int, Change]]
) -> dict[str, tuple[Effect, ...]]:
    """Every subject's latest effect of each kind, by name; no rows for a kind the model does not have."""
    design, kinds = fitted.model.design, fitted.kinds
    found = contrasts(design, fitted.fit, kinds, fitted.robust)
    confounded = partners(design, kinds, problem.readings.names, found)
    made: dict[str, tuple[Effect, ...]] = dict.fromkeys(kinds, ())
    for name, part in design.slices().items():
        kind, by_level = kinds[name], changes.get(name, {})
        cleaned = after_cleaning(problem, design, fitted.fit, kind) if name == "instrument" else {}
        own = Contrasts(found.offset[part], found.covariance[part, part], found.share[part], found.wide[part])
        rows = []
        for level in map(int, np.flatnonzero(kind.latest)):
            row = _effect(problem, name, kind, own, level, by_level.get(level))
            row = replace(row, confounded_with=confounded.get((name, level), ()))
            rows.append(_with_register(problem, row, cleaned.get(level)))
        made[name] = tuple(sorted(rows, key=_name))
    return made


def _name(effect: Effect) -> str:
    return effect.name


def _effect(
    problem: Problem, name: str, kind: Levels, found: Contrasts, level: int, change: Change | None
) -> Effect:
    """One subject's latest effect."""
    code, earlier = int(kind.subject[level]), kind.earlier(level)
    offset, sd = float(found.offset[level]), float(found.wide[level])
    return Effect(
        factor=name,
        code=code,
        name=problem.readings.names[name][code],
        n=int((kind.codes == level).sum()),
        offset_c=offset,
        low_c=offset - Z95 * sd,
        high_c=offset + Z95 * sd,
        sd_c=sd,
        data_share=float(found.share[level]),
        comparator=COMPARATOR[name],
        since=_since(problem, kind, level, change),
        changed=earlier is not None,
        earlier_c=None if earlier is None else float(found.offset[earlier]),
    )


def _since(problem: Problem, kind: Levels, level: int, found: Change | None) -> date | None:
    """First day of the readings behind the offset: where it was split, else its first; None where too few tell."""
    if np.isfinite(kind.began[level]):
        return day(float(kind.began[level]))
    return day(float(problem.readings.time[kind.codes == level].min())) if found is not None else None


def day(hours: float) -> date:
    """The UTC day of an instant in hours since 1970.

    >>> day(24.0 * 365)
    datetime.date(1971, 1, 1)
    """
    return datetime.fromtimestamp(hours * 3600.0, UTC).date()


def _with_register(problem: Problem, effect: Effect, cleaned: Contrast | None) -> Effect:
    """The effect with what the register and the cleaning log know of the instrument."""
    if effect.factor != "instrument":
        return effect
    mode = problem.modes.get(effect.name)
    usual = _commonest(list(problem.modes.values()))
    return replace(
        effect,
        cleanings_since=_cleanings_since(problem, effect),
        mode=mode,
        mode_differs=None if mode is None else mode != usual,
        after_cleaning_c=None if cleaned is None else cleaned.rise_c,
        after_cleaning_sd_c=None if cleaned is None else cleaned.sd_c,
    )


def _cleanings_since(problem: Problem, effect: Effect) -> int:
    times = problem.cleanings.get(effect.name)
    if times is None or effect.since is None:
        return 0
    first = datetime.combine(effect.since, datetime.min.time(), UTC).timestamp() / 3600.0
    return int((times >= first).sum())


def _commonest(words: list[str]) -> str | None:
    return max(sorted(set(words)), key=words.count) if words else None
