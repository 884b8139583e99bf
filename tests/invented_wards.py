"""Wards of an invented review, as the audit leaves them: what the tests of pages, sheets and report are told.

Larch charted 36.0 °C far too often until its form changed; Maple is quiet; Rowan leaves the site out; Holly has few
readings and Yew fewer than ten.
"""

from datetime import UTC, date, datetime, timedelta

from browline.audit import TESTS, Outcome, Signal
from browline.documents.encoding import plain
from browline.services.review.audit_part import signal_row
from browline.store.models import Review

MONDAY = date(2026, 1, 5)
MADE = datetime(2026, 6, 29, 9, 0, tzinfo=UTC)
FORM = {"date": "2026-04-02", "what": "form changed: no default temperature", "ward": "Larch"}
ELSEWHERE = {"date": "2026-04-20", "what": "instruments delivered", "ward": "Maple"}
ALL = {"date": "2026-05-04", "what": "winter plan ended", "ward": ""}


def signal(test, outcome, n=2400, **more):
    """One test of one ward as the supplement keeps it."""
    if outcome == "not-seen":
        more = {"effect": 0.004, "low": 0.0, "high": 0.01, "least": 0.024} | more
    return Signal(test, "ward", more.pop("ward", "Larch"), n, Outcome(outcome), **more)


def seen(test, effect, ward, n=2400, **more):
    """A test that saw something."""
    told = {"observed": effect + 0.02, "expected": 0.02, "parts": {"count": round(effect * n)}} | more
    return signal(test, "seen", n, ward=ward, effect=effect, low=0.8 * effect, high=1.2 * effect, **told)


def spike(ward, at="36.0 °C", effect=0.08):
    """One value charted far too often."""
    return seen("value-spike", effect, ward, label=at)


def edge(ward):
    """Values held just under the fever line."""
    parts = {"above": 9.0, "above expected": 40.0, "below": 71.0, "below expected": 40.0}
    return seen("edge", 0.7, ward, label="38.0 °C", parts=parts)


def weeks(counts, n=100, favourite=None, site_missing=None):
    """A week for each count, of `n` readings; `counts` at the favoured value, else without a site."""
    return [
        {
            "week": (MONDAY + timedelta(weeks=k)).isoformat(),
            "n": n,
            "favourite": count if favourite else None,
            "favourite_of": n if favourite else None,
            "site_missing": (site_missing if site_missing is not None else 1) if favourite else count,
            "unlikely": 0.0,
        }
        for k, count in enumerate(counts)
    ]


def a_ward(name, *signals, of=(), n=None, quiet=True, **more):
    """One ward; the tests not told ended `not-seen` where it is `quiet`, else with too few."""
    told = {s.test for s in signals}
    total = sum(w["n"] for w in of) if n is None else n
    rest = "not-seen" if quiet else "too-few"
    others = [
        signal(test, "not-asked" if test == "site-unsuited" else rest, total, ward=name)
        for test in TESTS
        if test not in told and test not in ("unit-pattern", "instrument-unit")
    ]
    heaped = [s for s in signals if s.test == "value-spike" and s.outcome is Outcome.SEEN]
    favourite = heaped[0].label if heaped else None
    return {
        "ward": name,
        "care": "ward",
        "n": total,
        "unlikely": sum(s.effect for s in heaped),
        "signals": [plain(signal_row(s)) for s in (*signals, *others)],
        "favourite": favourite,
        "favourite_expected": 0.01 if favourite else None,
        "weeks": list(of),
        "instruments": 3.0,
        "instruments_from": "register",
        "patients": 12.0,
    } | more


FELL = weeks(
    [12, 14, 13, 11, 15, 12, 13, 14, 12, 11, 13, 12, 13, 3, 2, 4, 3, 2, 3, 1, 2, 3, 4, 2], favourite=True
)


def larch():
    """36.0 °C far too often until the week of 06 Apr 2026."""
    return a_ward("Larch", spike("Larch"), of=FELL)


def maple():
    """Nothing seen; nearly every site charted."""
    return a_ward("Maple", of=weeks([2, 1, 3, 2] * 6))


def rowan():
    """Sites left out, week after week."""
    return a_ward("Rowan", seen("site-missing", 0.2, "Rowan"), of=weeks([19, 21, 20, 22] * 6))


def holly():
    """Sixty readings in all."""
    return a_ward("Holly", of=weeks([1, 2, 1, 0], n=15), quiet=False)


def yew():
    """Six readings."""
    return a_ward("Yew", seen("site-missing", 0.5, "Yew", n=6), of=weeks([3], n=6), quiet=False)


def supplement(*wards):
    """The supplement of a review of these wards (all of the cast where none is told)."""
    told = wards or (rowan(), larch(), yew(), maple(), holly())
    return {
        "hospital": "Fenwick Vale",
        "days": ["2026-01-05", "2026-06-21"],
        "events": [FORM, ELSEWHERE, ALL],
        "cannot_answer": [],
        "can_answer": [],
        "requests": [],
        "weeks": {"instrument": {}, "ward": {}},
        "audit": {"fever_c": 38.0, "wards": list(told), "units": []},
    }


def a_review(*wards):
    """A review that knows no book."""
    return Review(pk=7, at=MADE, version="0.1.0", supplement=supplement(*wards), result={})
