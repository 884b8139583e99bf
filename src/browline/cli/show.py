"""What the commands print: plain lines that read well without colour and survive being copied into a mail."""

from collections.abc import Mapping
from typing import Any

from browline import display
from browline.documents.finding import CauseRow
from browline.documents.review import ReviewDocument
from browline.findings import KINDS
from browline.services.review.wards import untold, wards


def show_receipt(receipt: Mapping[str, Any]) -> None:
    """Print a receipt: per table the account of its rows, then what can and cannot be answered."""
    for entry in receipt["files"]:
        print(f"\n{entry['file']}: {entry['kind']}")
        again = f"{display.number(entry['already_here'])} already here or sent twice"
        print(
            f"  {display.number(entry['rows'])} rows = {display.number(entry['taken'])} taken + {again}"
            f" + {display.number(entry['set_aside'])} set aside;"
            f" {display.number(entry['repaired'])} of those taken were repaired"
        )
        read = ", ".join(f"{column} from {heading}" for column, heading in entry["mapping"].items())
        if read:
            print(f"  read: {read}")
        for r in entry["reasons"]:
            rows = ", ".join(str(row) for row in r["example_rows"])
            print(
                f"  {display.number(r['count']):>9}  {r['sentence']} ({r['code']};"
                f" rows {rows}{', ...' if r['count'] > 5 else ''})"
            )
    _list("These files can answer", receipt["can_answer"])
    _list("They cannot answer", receipt["cannot_answer"])
    _list("Please note", receipt.get("notes", []))


def show_review(review: Any) -> None:
    """Print a review: what was found, each with its next step, then what cannot be said."""
    document: ReviewDocument = review.document
    counted, findings = document.readings, document.findings
    print(
        f"\n{display.number(counted.total)} readings,"
        f" {display.number(counted.used)} of them compared with each other."
    )
    if unlike := document.people_not_listed:
        print(f"\n{unlike.sentence}\n")
    print(f"{len(findings)} finding{'s' * (len(findings) != 1)}." if findings else _nothing(review))
    for finding in findings:
        how_sure = "" if finding.probability is None else f" [{display.how_sure(finding.probability)}]"
        print(f"\n- {finding.sentence}{how_sure}")
        if finding.causes:
            print(f"  Likely: {'; '.join(_cause(c) for c in finding.causes[:3])}")
        print(f"  Next: {finding.action}")
    _list(
        "Also seen on wards, a question rather than a finding (see the wards' pages)", _ward_signals(document)
    )
    unlisted = unlike.sentence if unlike else ""
    _list("What this cannot say", [sentence for sentence in document.limits if sentence != unlisted])
    print(
        "\nThis supports teaching and quality review; it does not diagnose. Local policy and licensed judgement come"
        " first. A patient who looks ill is escalated whatever the number says."
    )


def _nothing(review: Any) -> str:
    """No finding: because nothing stood out, or because there was too little to look at."""
    return f"Nothing was flagged. {untold(wards(review))}".rstrip()


def _ward_signals(document: ReviewDocument) -> list[str]:
    """What the audit saw of kinds that are no findings, each in its sentence."""
    audit = document.supplement.audit
    signals = [s for w in (audit.wards if audit else ()) for s in w.signals]
    return [s.sentence for s in signals if s.outcome == "seen" and s.test not in KINDS]


def show_planted(demonstration: Any) -> None:
    """Print the planted instrument faults, then the planted habits of wards, beside what the review found."""
    print(
        "\nPlanted in the invented hospital (0.35 °C or more or the wrong unit, 300 readings or more) against found:"
    )
    print(
        f"  {'instrument':<12}{'fault':<10}{'planted':>9}{'found':>9}{'from':>13}{'found since':>13}{'readings':>10}"
    )
    for p in demonstration.planted:
        difference = "missed" if not p.found else "unit" if p.found_c is None else display.signed(p.found_c)
        days = f"{p.first_day:>13}{p.since or '-':>13}"
        print(f"  {p.instrument:<12}{p.kind:<10}{_size(p):>9}{difference:>9}{days}{display.number(p.n):>10}")
    hit = sum(p.found for p in demonstration.planted)
    print(
        f"  found {hit} of {len(demonstration.planted)}; flags with nothing planted: "
        f"{', '.join(demonstration.false_flags) or 'none'}"
    )
    _show_habits(demonstration)


def _show_habits(demonstration: Any) -> None:
    """Print the planted habits of wards beside what the audit found."""
    print("\nHabits of charting planted on wards against found (share with its 95 % interval):")
    print(f"  {'ward':<13}{'habit':<16}{'planted':<36}found")
    for h in demonstration.habits:
        print(f"  {h.ward:<13}{h.test:<16}{h.planted:<36}{h.found}")
    hit = sum(h.seen for h in demonstration.habits)
    others = "; ".join(demonstration.false_habits) or "none"
    print(f"  found {hit} of {len(demonstration.habits)}; seen with nothing planted: {others}")


def _size(planted: Any) -> str:
    return "°F for °C" if planted.kind == "unit" else display.signed(planted.against_c)


def _cause(cause: CauseRow) -> str:
    probability = cause.probability
    return cause.cause if probability is None else f"{cause.cause} ({display.chance(probability)})"


def _list(title: str, sentences: list[str]) -> None:
    if sentences:
        print(f"\n{title}:")
        for sentence in sentences:
            print(f"  - {sentence}")
