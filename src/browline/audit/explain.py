"""The audit in a nurse's words: innocent causes first, one thing to do, no one to blame."""

from collections.abc import Callable, Iterable

from browline.audit.charting import Charting, Share
from browline.findings import Cause, Finding


def findings(shares: Iterable[Share]) -> tuple[Finding, ...]:
    """Findings for the shares that are worth a word; these tests give no probability, only an interval."""
    return tuple(_finding(s) for s in shares if s.worth_a_word)


def limits(problem: Charting) -> tuple[str, ...]:
    """What this audit cannot know, in sentences."""
    said = ["Shares are about charting; a value charted faultlessly can still be wrong."]
    if not problem.timed_to_seconds:
        said.append("Times are charted to the minute, so repeats within half a minute cannot be seen.")
    return tuple(said)


def _finding(s: Share) -> Finding:
    sentence, causes, action = _WORDS[s.kind](s)
    return Finding(
        kind=s.kind,
        subject_type=s.subject_type,
        subject_id=s.subject_id,
        effect=s.share,
        low=s.low,
        high=s.high,
        unit="share",
        probability=None,
        n=s.n,
        since=None,
        causes=tuple(Cause(c, None) for c in causes),
        action=action,
        sentence=sentence,
        comparator="all readings charted there",
    )


def _named(s: Share) -> str:
    return f"Instrument {s.subject_id}" if s.subject_type == "instrument" else s.subject_id


def _percent(s: Share) -> str:
    return f"{100 * s.share:.1f} % ({100 * s.low:.1f} to {100 * s.high:.1f} %, {s.count:,} of {s.n:,})"


def _site_missing(s: Share) -> tuple[str, tuple[str, ...], str]:
    return (
        f"{s.subject_id}: {_percent(s)} of readings are charted without a site that can be told.",
        ("the form does not ask for the site", "a short word that could mean two sites", "workload"),
        "Look at the charting form with the ward: make the site a choice, and say at hand-over which words are used.",
    )


def _implausible(s: Share) -> tuple[str, tuple[str, ...], str]:
    return (
        f"{s.subject_id}: {_percent(s)} of values cannot be body temperatures as charted.",
        (
            "typing slip",
            "a lost decimal point",
            "another measurement in the temperature field",
            "the instrument's LO or HI",
        ),
        "Ask for a prompt in the form when a value is out of range, and look at a few of the rows with the ward.",
    )


def _unit(s: Share) -> tuple[str, tuple[str, ...], str]:
    return (
        f"{_named(s)}: {_percent(s)} of its values were charted as if in the other unit.",
        (
            "set to the other unit",
            "used on a ward that charts in the other unit",
            "swapped with another instrument",
        ),
        "Look at its display; if it shows the other unit, bring a spare while it is set right.",
    )


def _repeat(s: Share) -> tuple[str, tuple[str, ...], str]:
    return (
        f"{_percent(s)} of readings were repeated on the same patient within half a minute.",
        ("a retake of a doubted value", "two readings charted together", "re-sent rows with new times"),
        "Remind at the next session: wait about half a minute before a repeat, the first scan cools the skin.",
    )


_WORDS: dict[str, Callable[[Share], tuple[str, tuple[str, ...], str]]] = {
    "site-missing": _site_missing,
    "implausible": _implausible,
    "instrument-unit": _unit,
    "repeat-too-soon": _repeat,
}
