"""The share of a ward that is worth following over its weeks, and whether it has changed."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from browline import display
from browline.audit.overtime import Outcome, ProportionChart, Runs, Step, proportion_chart, read_runs, step
from browline.audit.overtime.proportion_chart import FEWEST_POINTS
from browline.display import FEWEST
from browline.documents.charts import SharePoint
from browline.services.review.wards.from_review import Ward, Week

SITE = "readings without a site"
SHARE = "Share of "
FEWEST_DRAWN = 2


@dataclass(frozen=True)
class Followed:
    """A share week by week, weeks of fewer than ten readings left out.

    - `test`: which looks for it; `what`: the share of what, in words.
    - `weeks` (their Mondays), `counts`, `totals`: in order of time.
    - `runs`, `chart`: the weeks read by their rules; `change`: the likeliest single step. None without a week,
      `change` with fewer than eight.
    - `told`: the step of this share that the answer of `test` tells, from all weeks; empty where it tells none.
    """

    test: str
    what: str
    weeks: tuple[date, ...]
    counts: tuple[int, ...]
    totals: tuple[int, ...]
    runs: Runs | None
    chart: ProportionChart | None
    change: Step | None
    told: str = ""

    @property
    def shares(self) -> tuple[float, ...]:
        """Share of each week, in [0, 1]."""
        return tuple(c / n for c, n in zip(self.counts, self.totals, strict=True))

    @property
    def title(self) -> str:
        """What a chart of it shows."""
        return SHARE + self.what

    @property
    def changed(self) -> bool:
        """Whether a single step stands out."""
        return self.change is not None and self.change.outcome is Outcome.SHIFTED

    @property
    def fell(self) -> bool:
        """Whether that step is downwards."""
        return self.change is not None and self.changed and self.change.after < self.change.before

    @property
    def drawable(self) -> bool:
        """Whether there are weeks enough for a line."""
        return len(self.weeks) >= FEWEST_DRAWN

    @property
    def limited(self) -> bool:
        """Whether a usual range could be told."""
        return self.chart is not None and self.chart.outcome is not Outcome.TOO_FEW

    @property
    def said(self) -> str:
        """The reading of the weeks by their rules, in a sentence or two."""
        return self._said(self._said_of_step) if self.changed else self._said(self._said_of_points)

    @property
    def said_without_step(self) -> str:
        """The same where the step is told elsewhere."""
        return self._said(str if self.changed else self._said_of_points)

    def _said(self, ending: Callable[[], str]) -> str:
        if self.runs is None or self.runs.outcome is Outcome.TOO_FEW:
            return self._too_few()
        ends = ending()
        begins = _runs_sentence(self.runs)
        if self.runs.outcome is Outcome.STEADY and (self.changed or self.told):
            begins = _runs_beside_a_change(self.runs)
        return " ".join(filter(None, (begins, ends)))

    @property
    def briefly(self) -> str:
        """The same for a reader on the ward: has it changed, and from what to what."""
        if self.changed:
            return f"It has changed. {self._said_of_step()}"
        if self.runs is None or self.runs.outcome is Outcome.TOO_FEW:
            return self._too_few()
        if self.runs.outcome is Outcome.SHIFTED:
            return (
                "It has changed by more than chance brings, with no single week that stands out as the start."
            )
        if self.told:
            return f"It has changed. {self.told}"
        return self._said_of_points() or "No more change from week to week than chance brings."

    def _too_few(self) -> str:
        counted = display.many(len(self.weeks), "week")
        return f"Too few weeks to tell whether it changes: {counted} with ten readings or more."

    def _said_of_step(self) -> str:
        assert self.change is not None
        first = display.day(self.weeks[self.change.first])
        return (
            f"The likeliest single change is in the week of {first}: from {display.share(self.change.before)} "
            f"to {display.share(self.change.after)}."
        )

    def _said_of_points(self) -> str:
        if self.chart is None or self.chart.outcome is not Outcome.OUTSIDE:
            return ""
        odd = [display.day(week) for week, out in zip(self.weeks, self.chart.outside, strict=True) if out]
        weeks = "The week of" if len(odd) == 1 else "The weeks of"
        return (
            f"{weeks} {display.listed(odd, 4)} {'differs' if len(odd) == 1 else 'differ'} "
            "by more than chance brings."
        )


def follow(ward: Ward) -> Followed:
    """The favoured value where one is favoured, else the readings without a site.

    Where a change stands out, what is usual is taken from the weeks before it, if they are enough.
    """
    test, label = "site-missing", SITE
    if ward.favourite is not None:
        test, label = "value-spike", f"readings charted as {ward.favourite}"
    rows = _printable([(w.week, *_counted(w)) for w in ward.weeks])
    if not rows:
        return Followed(
            test=test, what=label, weeks=(), counts=(), totals=(), runs=None, chart=None, change=None
        )
    weeks, counts, totals = zip(*rows, strict=True)
    chart = proportion_chart(counts, totals)
    runs = read_runs([c / n for c, n in zip(counts, totals, strict=True)])
    # Neighbouring weeks hardly see a single step, so their spread tells how much a week differs anyway.
    change = step(counts, totals, dispersion=chart.sigma_z**2)
    if change is not None and change.outcome is Outcome.SHIFTED and change.first >= FEWEST_POINTS:
        chart = proportion_chart(counts, totals, baseline=change.first)
    step_sentence = next((a.step.strip() for a in ward.seen if a.test == test), "")
    return Followed(
        test=test,
        what=label,
        weeks=weeks,
        counts=counts,
        totals=totals,
        runs=runs,
        chart=chart,
        change=change,
        told=step_sentence,
    )


def _printable(counted: list[tuple[date, int, int]]) -> list[tuple[date, int, int]]:
    """The weeks that may be shown: not those of fewer than ten readings.

    Where that is one week alone, the ward's total less the others would tell it, so the smallest other week is
    left out with it.
    """
    rows = [row for row in counted if row[2] >= FEWEST]
    if rows and sum(0 < n < FEWEST for _, _, n in counted) == 1:
        rows.remove(min(rows, key=lambda row: row[2]))
    return rows


def _counted(week: Week) -> tuple[int, int]:
    """What is counted in a week, and of how many readings."""
    if week.favourite is None or week.favourite_of is None:
        return week.site_missing, week.n
    return week.favourite, week.favourite_of


def share_points(followed: Followed) -> tuple[SharePoint, ...]:
    """The weeks as a chart of shares wants them; without limits where they are too few for any."""
    chart = followed.chart
    if chart is None:
        return ()
    few = chart.outcome is Outcome.TOO_FEW
    rows = zip(
        followed.weeks, followed.totals, chart.proportions, chart.low, chart.high, chart.outside, strict=True
    )
    return tuple(
        SharePoint(
            start=week,
            n=n,
            share=float(share),
            centre=chart.centre,
            low=None if few else float(low),
            high=None if few else float(high),
            outside=bool(out) and not few,
        )
        for week, n, share, low, high, out in rows
    )


def _runs_beside_a_change(runs: Runs) -> str:
    """Weeks that do not show by their runs what is told of a step: two tests, of which one sees less."""
    return (
        f"Runs of weeks alone do not show the change: at most {display.many(runs.longest_run, 'week')} in a row on one "
        f"side of the middle, where up to {runs.longest_allowed} are ordinary."
    )


def _runs_sentence(runs: Runs) -> str:
    if runs.outcome is Outcome.STEADY:
        return (
            f"No more change than chance brings: at most {display.many(runs.longest_run, 'week')} in a row on one side "
            f"of the middle, where up to {runs.longest_allowed} are ordinary."
        )
    if runs.longest_run > runs.longest_allowed:
        why = (
            f"{runs.longest_run} weeks in a row on one side of the middle, where up to {runs.longest_allowed} "
            "are ordinary"
        )
    else:
        why = (
            f"the weeks go from above the middle to below it, or back, only {display.many(runs.crossings, 'time')}; by "
            f"chance they would at least {display.many(runs.crossings_needed, 'time')}"
        )
    return f"It has changed by more than chance brings: {why}."
