"""The fit read off as tables: sites, spread, and each kind of effect."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from functools import cached_property

import numpy as np

from browline.variation.arrays import Codes, Floats
from browline.variation.change_point import Change
from browline.variation.clusters import Clusters, clusters
from browline.variation.effects.compared import Compared
from browline.variation.effects.integrate import Integrated, integrated
from browline.variation.effects.read import read, with_heavy_tails
from browline.variation.effects.solved import Solved
from browline.variation.fit import Fit
from browline.variation.levels import Levels
from browline.variation.problem import Problem
from browline.variation.result import Effect, GroupSpread, Partner, Spread
from browline.variation.robust import robust
from browline.variation.stays.residuals import Residuals, residuals

COMPARATOR = {
    "instrument": "the middle of this fleet's other instruments at the same site",
    "ward": "the middle of the other wards",
    "person": "the middle of the other people who charted",
}


@dataclass(frozen=True)
class Fitted:
    """The fit, and the levels it was fitted with; what more is read from it is worked out once."""

    fit: Fit
    kinds: Mapping[str, Levels]

    @cached_property
    def residuals(self) -> Residuals:
        """What the fit leaves of every reading."""
        columns = self.fit.model.columns
        return residuals(columns, self.fit.course, self.fit.u, self.fit.solution.beta)

    @cached_property
    def clusters(self) -> Clusters:
        """The stays' scores."""
        return clusters(self.fit, self.residuals)

    @cached_property
    def over(self) -> Integrated:
        """The effects with the doubt about their sds."""
        return integrated(self.fit.sums, self.fit.model.columns.slices(), self.fit.sds)

    @cached_property
    def compared(self) -> dict[str, Compared]:
        """Every kind of subject against the middle of its kind."""
        compared = read(self.over, self.fit.solution, self.kinds, self.clusters)
        if "instrument" not in compared:
            return compared
        return with_heavy_tails(compared, self.over, self.fit.sds, self.kinds["instrument"], self.clusters)

    @cached_property
    def robust(self) -> Solved:
        """The equations with long tails let pass."""
        return robust(self.fit, self.residuals)

    def codes(self, name: str) -> Codes:
        """The levels of a kind in the order of the columns, int64[n]."""
        return self.kinds[name].codes[self.fit.model.columns.order]


def spread(fitted: Fitted) -> Spread:
    """Standard deviations in °C; None for what the model does not have. Stays: those of the largest care group."""
    fit, stays = fitted.fit, fitted.fit.model.identifiable
    counts = np.bincount(fit.model.columns.arrays.site, minlength=len(fit.course.reading))
    reading = float(np.sqrt(counts @ fit.course.reading**2 / counts.sum()))
    return Spread(
        patient_sd_c=float(fit.course.patient[0]) if stays.patient else None,
        course_sd_c=float(fit.course.course[0]) if stays.course else None,
        course_hours=float(fit.course.hours[0]) if stays.course else None,
        instrument_sd_c=fit.sd("instrument"),
        person_sd_c=fit.sd("person"),
        ward_sd_c=fit.sd("ward"),
        reading_sd_c=reading,
        at_site_sd_c=fit.course.patient_site if stays.patient_site else None,
        month_sd_c=fit.sd("month"),
        groups=_groups(fit) if stays.course and len(stays.groups) > 1 else (),
    )


def _groups(fit: Fit) -> tuple[GroupSpread, ...]:
    params = fit.course
    rows = zip(fit.model.identifiable.groups, params.patient, params.course, params.hours, strict=True)
    return tuple(GroupSpread(name, float(p), float(c), float(h)) for name, p, c, h in rows)


def effect_tables(
    problem: Problem, fitted: Fitted, changes: Mapping[str, Mapping[int, Change]], tolerance_c: float
) -> dict[str, tuple[Effect, ...]]:
    """Every subject's latest effect of each kind, by name; no rows for a kind the model does not have."""
    tables: dict[str, tuple[Effect, ...]] = dict.fromkeys(fitted.kinds, ())
    for name, compared in fitted.compared.items():
        kind, by_level = fitted.kinds[name], changes.get(name, {})
        rows = level_columns(fitted, name, compared, tolerance_c)
        effects = [
            _effect(problem, name, kind, rows, level, by_level.get(level))
            for level in map(int, np.flatnonzero(kind.latest))
        ]
        tables[name] = tuple(sorted(effects, key=lambda effect: effect.name))
    return tables


def level_columns(fitted: Fitted, name: str, compared: Compared, tolerance_c: float) -> dict[str, Floats]:
    """The numbers of every level of a kind as columns."""
    part = fitted.fit.model.columns.slices()[name]
    low, high = compared.interval()
    return {
        "offset_c": compared.offset,
        "low_c": low,
        "high_c": high,
        "sd_c": compared.sd(),
        "data_share": compared.share,
        "chance": compared.beyond(tolerance_c),
        "typical_c": compared.against.contrasts(fitted.robust.u[part]),
    }


def _effect(
    problem: Problem, name: str, kind: Levels, rows: Mapping[str, Floats], level: int, change: Change | None
) -> Effect:
    """One subject's latest effect."""
    code, earlier = int(kind.subject[level]), kind.earlier(level)
    row = {column: float(values[level]) for column, values in rows.items()}
    return Effect(
        factor=name,
        code=code,
        name=problem.readings.names[name][code],
        n=int((kind.codes == level).sum()),
        comparator=COMPARATOR[name],
        since=_since(problem, kind, level, change),
        changed=earlier is not None,
        earlier_c=None if earlier is None else float(rows["offset_c"][earlier]),
        level=level,
        offset_c=row["offset_c"],
        low_c=row["low_c"],
        high_c=row["high_c"],
        sd_c=row["sd_c"],
        data_share=row["data_share"],
        chance=row["chance"],
        typical_c=row["typical_c"],
    )


def _since(problem: Problem, kind: Levels, level: int, change: Change | None) -> date | None:
    """First day of the readings behind the offset: where it was split, else its first; None where too few tell."""
    if np.isfinite(kind.began[level]):
        return day(float(kind.began[level]))
    return day(float(problem.readings.time[kind.codes == level].min())) if change is not None else None


def day(hours: float) -> date:
    """The UTC day of an instant in hours since 1970.

    >>> day(24.0 * 365)
    datetime.date(1971, 1, 1)
    """
    return datetime.fromtimestamp(hours * 3600.0, UTC).date()


def with_partners(
    effects: dict[str, tuple[Effect, ...]], confounded: Mapping[tuple[str, int], tuple[Partner, ...]]
) -> dict[str, tuple[Effect, ...]]:
    """The effects with what they cannot be told from, by (kind, level)."""
    return {
        name: tuple(replace(e, confounded_with=confounded.get((name, e.level), ())) for e in rows)
        for name, rows in effects.items()
    }
