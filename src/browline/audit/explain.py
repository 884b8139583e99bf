"""The audit in a nurse's words: what was seen, what would have been, and the findings for the review."""

from datetime import date

from browline import display
from browline.audit.problem import Problem
from browline.audit.result import Audit, Outcome, Signal
from browline.findings import AUDITED, ROUNDING, Cause, Finding

HEAPED = 3
"""So many heaped values, all of them whole or half degrees, look like rounding."""


def findings(audit: Audit) -> tuple[Finding, ...]:
    """Findings for what was seen, of the kinds the review knows; the rest stands on the pages of the wards."""
    signs = [s for s in audit.flagged if s.subject_type in _subjects(s)]
    direct = [_finding(s) for s in signs if AUDITED[s.test].flagged]
    known = {(f.kind, f.subject_id) for f in direct}
    # A sign of a kind that another test looks for as well adds nothing where that test has seen it.
    indirect = [s for s in signs if not AUDITED[s.test].flagged]
    return (
        *direct,
        *(_pattern_finding(s) for s in indirect if (AUDITED[s.test].finding, s.subject_id) not in known),
    )


def _subjects(s: Signal) -> tuple[str, ...]:
    """What a finding of this sign can be about; nothing where the sign is a question on the ward's pages."""
    kind = AUDITED[s.test]
    return tuple(subject.type for subject in kind.subjects) if kind.finding else ()


def limits(problem: Problem) -> tuple[str, ...]:
    """What this audit cannot know, in sentences."""
    sentences = [
        "A value charted faultlessly can still be wrong; the audit sees only what charting leaves behind.",
        f"Of what the audit flags in each test, about "
        f"{display.in_a_hundred(problem.false_share)} will be false alarms.",
    ]
    if not problem.who.max(initial=-1) >= 0:
        sentences.append(
            "The charts do not say whose readings they are, so copies, batches and repeats were not looked for."
        )
    if not _to_seconds(problem):
        sentences.append("Times are charted to the minute, so repeats within half a minute cannot be seen.")
    return tuple(sentences)


def sentence(s: Signal) -> str:
    """The signal in one sentence, with its numbers."""
    if s.outcome is not Outcome.SEEN:
        return f"{_named(s)}: {outcome_in_words(s)}"
    return AUDITED[s.test].sentence.format(**_numbers(s))


def outcome_in_words(s: Signal) -> str:
    """The outcome in a few words: what was seen, what would have been, or why nothing can be said."""
    if s.outcome is Outcome.NOT_ASKED:
        return "Not asked: the charts do not hold what this test needs, or too few wards to compare."
    kind = AUDITED[s.test]
    if s.outcome is Outcome.SEEN:
        return f"Seen: {kind.size.format(**_numbers(s))}."
    if s.outcome is Outcome.TOO_FEW:
        return "Too few to tell." if s.least is None or s.least >= 1 else (
            f"Too few to tell: only {_percent(s.least)} or more would show 8 times in 10."
        )  # fmt: skip
    if kind.quiet:
        return kind.quiet.format(**_numbers(s))
    return (
        "Not seen." if s.least is None else f"Not seen; {_percent(s.least)} or more would be, 8 times in 10."
    )


def _to_seconds(problem: Problem) -> bool:
    import numpy as np

    return bool((np.rint(problem.readings.time * 3600.0) % 60).any())


def _finding(s: Signal) -> Finding:
    kind = AUDITED[s.test]
    return Finding(
        kind=kind.id,
        subject_type=s.subject_type,
        subject_id=s.subject_id,
        effect=s.effect,
        low=s.low,
        high=s.high,
        unit="share",
        probability=None,
        n=s.n,
        since=s.since,
        causes=causes(s),
        action=AUDITED["edge"].action if _under_the_line(s) else kind.action,
        sentence=sentence(s),
        comparator=kind.comparator,
    )


def _pattern_finding(s: Signal) -> Finding:
    kind = AUDITED[s.test]
    return Finding(
        kind=kind.finding, subject_type=s.subject_type, subject_id=s.subject_id, effect=None, low=None,
        high=None, unit="share", probability=s.parts["chance"], n=s.n, since=None, causes=kind.causes,
        action=kind.action, sentence=sentence(s), comparator=kind.comparator,
    )  # fmt: skip


def _under_the_line(s: Signal) -> bool:
    """Whether the value charted too often lies just under the fever line: then the line is the matter."""
    return "under the line" in s.parts


def causes(s: Signal) -> tuple[Cause, ...]:
    """What may explain the signal, innocent causes first; what its own numbers point to comes before all."""
    usual = AUDITED[s.test].causes
    if _under_the_line(s):
        return (*AUDITED["edge"].causes, usual[0])
    values = (s.label, *s.also)
    if s.test == "value-spike" and len(values) >= HEAPED and all(_whole_or_half(v) for v in values):
        return (ROUNDING, *(cause for cause in usual if cause != ROUNDING))
    return usual


def _whole_or_half(written: str) -> bool:
    return written.split()[0].endswith((".0", ".5"))


def _named(s: Signal) -> str:
    return f"Instrument {s.subject_id}" if s.subject_type == "instrument" else s.subject_id


def _percent(share: float | None) -> str:
    return "–" if share is None else display.share(share)


def _range(s: Signal) -> str:
    return f"{_percent(s.effect)} ({display.decimal(100 * (s.low or 0))} to {display.share(s.high or 0)})"


def _units(s: Signal) -> str:
    return {
        "C": "tenths of °C",
        "F": "tenths of °F",
        "both": "both units",
    }.get(s.label, "a unit that cannot be told")


def _numbers(s: Signal) -> dict[str, str]:
    """The numbers of a signal, each worded as the templates of the catalogue call it."""
    kind = AUDITED[s.test]
    due = round((s.expected or 0) * s.n)
    words = {
        "subject": _named(s),
        "at": s.label,
        "which": f" at {s.label}" if s.label else "",
        "n": display.number(s.n),
        "of": kind.denominator,
        "count": display.number(round(s.parts.get("count", 0))),
        "times": display.number(round((s.observed or 0) * s.n)),
        "usual": f"about {display.number(due)} would be expected" if due else "hardly any would be expected",
        "observed": _percent(s.observed),
        "expected": _percent(s.expected),
        "share": _range(s),
        "also": _also(s),
        "step": stepped(s.turned, s.before, s.after),
        "units": _units(s),
        "chance": _percent(s.parts.get("chance")),
    }
    sides = ("above", "above expected", "below", "below expected")
    return words | {
        name.replace(" ", "_"): display.decimal(s.parts[name], 0) for name in sides if name in s.parts
    }


def _also(s: Signal) -> str:
    return f" Found too often as well: {', '.join(s.also)}." if s.also else ""


def stepped(turned: date | None, before: float | None, after: float | None) -> str:
    """What a sentence ends with where its share took a step from `before` to `after` (in [0, 1]); else empty."""
    if turned is None or before is None or after is None:
        return ""
    way = "risen" if after > before else "fallen"
    return f" Its share has {way} from {_percent(before)} to {_percent(after)} since {display.day(turned)}."
