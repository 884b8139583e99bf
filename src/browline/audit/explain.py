"""The audit in a nurse's words: what was seen, what would have been, and the findings for the review."""

from collections.abc import Callable
from datetime import date

from browline.audit.problem import Problem
from browline.audit.result import TESTS, Audit, Outcome, Signal
from browline.audit.words import ADVICE
from browline.findings import KINDS, Cause, Finding

HEAPED = 3
"""So many heaped values, all of them whole or half degrees, look like rounding."""


def findings(audit: Audit) -> tuple[Finding, ...]:
    """Findings for what was seen, of the kinds the review knows; the rest stands on the pages of the wards."""
    found = [_finding(s) for s in audit.seen if s.test in KINDS]
    told = {f.subject_id for f in found if f.kind == "instrument-unit"}
    found += [
        _pattern_finding(s)
        for s in audit.seen
        if s.test == "unit-pattern" and s.subject_type == "instrument" and s.subject_id not in told
    ]
    return tuple(found)


def limits(problem: Problem) -> tuple[str, ...]:
    """What this audit cannot know, in sentences."""
    said = [
        "A value charted faultlessly can still be wrong; the audit sees only what charting leaves behind.",
        f"Of what the audit flags in each test, about {100 * problem.false_share:.0f} in 100 will be false alarms.",
    ]
    if not problem.who.max(initial=-1) >= 0:
        said.append(
            "The charts do not say whose readings they are, so copies, batches and repeats were not looked for."
        )
    if not _to_seconds(problem):
        said.append("Times are charted to the minute, so repeats within half a minute cannot be seen.")
    return tuple(said)


def sentence(s: Signal) -> str:
    """The signal in one sentence, with its numbers."""
    return _SENTENCES[s.test](s) if s.outcome is Outcome.SEEN else f"{_named(s)}: {answer(s)}"


def answer(s: Signal) -> str:
    """The outcome in a few words: what was seen, what would have been, or why nothing can be said."""
    if s.outcome is Outcome.NOT_ASKED:
        return "Not asked: the charts do not hold what this test needs, or too few wards to compare."
    if s.outcome is Outcome.SEEN:
        return (
            f"Seen: {_size(s)}." if s.test != "unit-pattern" else f"Seen: its numbers come from {_units(s)}."
        )
    if s.outcome is Outcome.TOO_FEW:
        return "Too few to tell." if s.least is None or s.least >= 1 else (
            f"Too few to tell: only {_percent(s.least)} or more would show 8 times in 10."
        )  # fmt: skip
    if s.test == "unit-pattern":
        return f"Its numbers come from {_units(s)}, as expected."
    return (
        "Not seen." if s.least is None else f"Not seen; {_percent(s.least)} or more would be, 8 times in 10."
    )


def _to_seconds(problem: Problem) -> bool:
    import numpy as np

    return bool((np.rint(problem.readings.time * 3600.0) % 60).any())


def _finding(s: Signal) -> Finding:
    advice = ADVICE["edge" if "under the line" in s.parts else s.test]
    return Finding(
        kind=s.test,
        subject_type=s.subject_type,
        subject_id=s.subject_id,
        effect=s.effect,
        low=s.low,
        high=s.high,
        unit="share",
        probability=None,
        n=s.n,
        since=s.since,
        causes=tuple(Cause(c, None) for c in causes(s)),
        action=advice.action,
        sentence=sentence(s),
        comparator=_COMPARATORS.get(s.test, "all readings charted there"),
    )


def _pattern_finding(s: Signal) -> Finding:
    advice = ADVICE[s.test]
    chance = s.parts["chance"]
    return Finding(
        kind="instrument-unit", subject_type=s.subject_type, subject_id=s.subject_id, effect=None, low=None,
        high=None, unit="share", probability=chance, n=s.n, since=None,
        causes=tuple(Cause(c, None) for c in advice.causes), action=advice.action, sentence=sentence(s),
        comparator="the unit in the register",
    )  # fmt: skip


_COMPARATORS = {
    "value-spike": "a smooth curve through the ward's other values, unit conversion allowed for",
    "copied-values": "how often the patient's next reading lies a tenth or two away",
    "round-batch": "how often neighbours in a round lie a tenth or two apart",
}


def causes(s: Signal) -> tuple[str, ...]:
    """What may explain the signal, innocent causes first; what its own numbers point to comes before all."""
    usual = ADVICE[s.test].causes
    if "under the line" in s.parts:
        return (*ADVICE["edge"].causes, usual[0])
    values = (s.at, *s.also)
    if s.test == "value-spike" and len(values) >= HEAPED and all(_half(v) for v in values):
        return ("rounding to a whole or half degree", *(c for c in usual if not c.startswith("rounding")))
    return usual


def _half(written: str) -> bool:
    return written.split()[0].endswith((".0", ".5"))


def _named(s: Signal) -> str:
    return f"Instrument {s.subject_id}" if s.subject_type == "instrument" else s.subject_id


def _percent(share: float | None) -> str:
    return "–" if share is None else f"{100 * share:.1f} %"


def _range(s: Signal) -> str:
    return f"{_percent(s.effect)} ({100 * (s.low or 0):.1f} to {100 * (s.high or 0):.1f} %)"


def _size(s: Signal) -> str:
    at = f" at {s.at}" if s.at and s.test == "value-spike" else ""
    return f"{_range(s)} of {s.n:,} {s.of}{at}" if s.test in _SHARES else f"{_range(s)} of {s.of}"


_SHARES = tuple(t for t in TESTS if t not in ("edge", "fever-missing", "narrow-spread"))


def _units(s: Signal) -> str:
    return {
        "C": "tenths of °C",
        "F": "tenths of °F",
        "both": "both units",
    }.get(s.at, "a unit that cannot be told")


def _spike(s: Signal) -> str:
    stood, due = round((s.observed or 0) * s.n), round((s.expected or 0) * s.n)
    usual = f"about {due:,} would be expected" if due else "hardly any would be expected"
    return (
        f"{s.subject_id}: {s.at} was charted {stood:,} times in {s.n:,}, where {usual}; "
        f"these are unlikely to have all been measured: {_range(s)} too many."
        f"{_also(s)}{stepped(s.turned, s.before, s.after)}"
    )


def _also(s: Signal) -> str:
    return f" Found too often as well: {', '.join(s.also)}." if s.also else ""


def stepped(turned: date | None, before: float | None, after: float | None) -> str:
    """What a sentence ends with where its share took a step from `before` to `after` (in [0, 1]); else empty."""
    if turned is None or before is None or after is None:
        return ""
    way = "risen" if after > before else "fallen"
    return f" Its share has {way} from {_percent(before)} to {_percent(after)} since {turned:%d %b %Y}."


def _copies(s: Signal) -> str:
    return (
        f"{s.subject_id}: {_percent(s.observed)} of readings repeat the patient's last number, where "
        f"{_percent(s.expected)} would be expected; {_range(s)} are unlikely to have been measured anew."
    )


def _batches(s: Signal) -> str:
    return (
        f"{s.subject_id}: {_percent(s.observed)} of readings equal the neighbour's in the same round, where "
        f"{_percent(s.expected)} would be expected; {_range(s)} are unlikely to have been measured one by one."
    )


def _edge(s: Signal) -> str:
    over, due = s.parts["above"], s.parts["above expected"]
    under, usual = s.parts["below"], s.parts["below expected"]
    return (
        f"{s.subject_id}: just above {s.at} {over:.0f} values stand where about {due:.0f} would be expected, and "
        f"just below {under:.0f} instead of about {usual:.0f}; {_range(s)} of those due above the line are not there."
    )


def _fever(s: Signal) -> str:
    return (
        f"{s.subject_id}: {_percent(s.observed)} of patients ever meet the fever line where wards of its kind have "
        f"{_percent(s.expected)}, patients read equally often compared; {_range(s)} of the usual fevers are missing."
    )


def _spread(s: Signal) -> str:
    return f"{s.subject_id}: values lie {_range(s)} closer together than on wards of its kind."


def _hour(s: Signal) -> str:
    return (
        f"{s.subject_id}: {_percent(s.observed)} of times stand on the full hour; {_range(s)} more than the other "
        "marks of five minutes explain."
    )


def _switching(s: Signal) -> str:
    return (
        f"{s.subject_id}: the site changes at {_percent(s.observed)} of a patient's successive readings, where "
        f"{_percent(s.expected)} is usual; {_range(s)} more."
    )


def _count(what: str) -> Callable[[Signal], str]:
    def said(s: Signal) -> str:
        return f"{_named(s)}: {_range(s)}, {s.parts['count']:,.0f} of {s.n:,} {s.of}, {what}."

    return said


def _pattern(s: Signal) -> str:
    return (
        f"{_named(s)}: its numbers come from {_units(s)} ({_percent(s.parts['chance'])} sure, {s.n:,} readings); "
        "the register says otherwise."
    )


_SENTENCES: dict[str, Callable[[Signal], str]] = {
    "value-spike": _spike,
    "copied-values": _copies,
    "round-batch": _batches,
    "edge": _edge,
    "fever-missing": _fever,
    "narrow-spread": _spread,
    "on-the-hour": _hour,
    "site-switching": _switching,
    "unit-pattern": _pattern,
    "pace": _count("were charted faster than one person can read: three patients within a minute"),
    "site-missing": _count("are charted without a site that can be told"),
    "site-unsuited": _count("were taken by mouth or rectum"),
    "repeat-too-soon": _count("were repeated on the same patient within half a minute"),
    "entry-delay": _count("were keyed more than an hour later"),
    "words": _count("hold words instead of a number"),
    "implausible": _count("hold values that cannot be body temperatures as charted"),
    "instrument-unit": _count("were charted as if in the other unit"),
}
