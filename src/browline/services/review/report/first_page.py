"""Page 1: what a committee needs, and nothing that singles out a person."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from msgspec.structs import replace

from browline import display
from browline.documents.charts import RunRows
from browline.documents.review import ReviewDocument
from browline.documents.supplement import Supplement
from browline.findings import FLAGGED, FORTNIGHT, finding_kind
from browline.services.review.report.document import Action, Chart, Committee, FirstPage, Number
from browline.services.review.report.months import scattered
from browline.services.review.report.numbers import three_numbers, unreliable_share
from browline.services.review.report.status import Found, by_instrument, impersonal, is_open, subject
from browline.services.review.wards import untold
from browline.services.review.wards.from_review import wards_in

MOST_LIMITS = 4
MOST_ACTIONS = 5
LATER = timedelta(days=FORTNIGHT)
WIDEST = ("look at the file", "whole fleet")
MORE_FIRST = "Proposed: bring in more months, then review again."


def first_page(
    document: ReviewDocument,
    findings: Sequence[Found],
    unit: str,
    time: datetime,
    committee: Committee,
) -> FirstPage:
    """Headline, run chart, three numbers, what we cannot say, the decision asked, actions."""
    stand = [f for f in impersonal(findings) if is_open(f)]
    supplement, today = document.supplement, time.date()
    untold = "" if stand else _untold(supplement)
    return FirstPage(
        headline=untold or _headline(document, stand),
        chart=_run(supplement),
        # A share of none of a handful would reassure.
        numbers=_numbers(_without_months(document) if untold else document, findings, unit),
        cannot_say=_cannot_say(document),
        decision=MORE_FIRST if untold else committee.decision or _decision(stand, today),
        actions=_actions(stand, supplement, committee.owner, today),
    )


def _numbers(document: ReviewDocument, findings: Sequence[Found], unit: str) -> tuple[Number, ...]:
    return three_numbers(document, impersonal(findings), unit)


def _without_months(document: ReviewDocument) -> ReviewDocument:
    return replace(document, supplement=replace(document.supplement, months=()))


def _untold(supplement: Supplement) -> str:
    return untold(wards_in(supplement))


def _headline(document: ReviewDocument, stand: Sequence[Found]) -> str:
    share = unreliable_share(document.supplement)
    start = (
        f"{share.value} of charted temperatures cannot be relied on" if share else "Readings were reviewed"
    )
    flagged = by_instrument(stand)
    if flagged:
        return f"{start}; {display.many(len(flagged), 'instrument')} should be checked."
    if rows := document.instruments:
        judged = [r for r in rows if r.judged]
        if not judged:
            return f"{start}; its instruments are not judged yet."
        which = (
            "no instrument" if len(judged) == len(rows) else f"of the {len(judged)} instruments judged none"
        )
        return f"{start}; {which} stands out."
    return f"{start}; which instruments they came from is not charted."


def _run(supplement: Supplement) -> Chart | None:
    months = supplement.months
    if not months or scattered(months):
        return None
    rows = RunRows(months=months, events=supplement.events)
    return Chart("Share of readings that cannot be relied on, by month", rows, height=220)


def _cannot_say(document: ReviewDocument) -> tuple[str, ...]:
    """The widest limits first: the file may be wrong, the whole fleet off, then what the columns cannot answer."""
    limits = list(dict.fromkeys(document.limits))
    fleet = [s for wide in WIDEST for s in limits if wide in s.lower()]
    columns = document.supplement.cannot_answer
    dates = scattered(document.supplement.months)
    ordered = dict.fromkeys([*fleet, *([dates] if dates else []), *columns, *limits])
    return tuple(ordered)[:MOST_LIMITS]


def _decision(stand: Sequence[Found], today: date) -> str:
    again = display.day(today + timedelta(days=91))
    if not stand:
        return f"Proposed: note the result, and look at the same chart again by {again}."
    flagged = by_instrument(stand)
    spares = f", release {display.many(len(flagged), 'spare instrument')} for the exchange" if flagged else ""
    agree = f"Proposed: agree the actions below with an owner for each{spares}"
    return f"{agree}, and look at the same chart again by {again}."


def _actions(stand: Sequence[Found], supplement: Supplement, owner: str, today: date) -> tuple[Action, ...]:
    names: dict[str, list[str]] = {}
    due: dict[str, date] = {}
    for finding in stand:
        kind = finding.kind
        names.setdefault(kind, []).append(_place(finding))
        due[kind] = min(due.get(kind, date.max), _due(finding, today))
    actions = [
        Action(kind.committee.format(names=display.listed(names[kind.id])), owner, due[kind.id])
        for kind in FLAGGED
        if kind.id in names
    ]
    missing = [r.column for r in supplement.requests]
    if missing:
        ask = f"Ask the data team to add to the export: {display.listed(missing)} (request page ready)."
        actions.append(Action(ask, owner, today + LATER))
    return _cut(actions)


def _cut(actions: Sequence[Action]) -> tuple[Action, ...]:
    """As many as one page holds; the last line says how many more there are."""
    first, more_actions = actions[:MOST_ACTIONS], actions[MOST_ACTIONS:]
    if not more_actions:
        return tuple(first)
    more = Action(
        f"And {len(more_actions)} more, see page 2 and after.",
        more_actions[0].owner,
        min(a.due for a in more_actions),
    )
    return (*first, more)


def _due(finding: Found, today: date) -> date:
    """The day the book suggests; for a finding without one, so many days from now."""
    if finding.by:
        return date.fromisoformat(finding.by)
    return today + timedelta(days=finding_kind(finding.kind).due_days)


def _place(finding: Found) -> str:
    kind, name = subject(finding)
    return "the whole book" if kind == "book" else name
