"""The report as data: every number of page 1 recomputed from what it was told, and what it must never say."""

import sys
from datetime import date
from itertools import product
from pathlib import Path

import pytest
from msgspec import to_builtins

sys.path.insert(0, str(Path(__file__).parents[2] / "paper"))

import invented_review as told

from browline.quantities.shares import wilson
from browline.services.review.report import make_request
from browline.services.review.report.document import Chart, Grid
from browline.services.review.report.people import OPENING
from browline.services.review.report.shares import true_among
from documents import report_from, supplement_from


def made(result=None, supplement=None, findings=None, **options):
    return report_from(
        result or told.result(),
        supplement or told.supplement(),
        told.findings() if findings is None else findings,
        time=told.MADE,
        **options,
    )


def everything(part) -> str:
    """Every text of a report, one after another."""
    if isinstance(part, str):
        return part + "\n"
    if isinstance(part, dict):
        return "".join(everything(p) for p in part.values())
    return "".join(everything(p) for p in part) if isinstance(part, list | tuple) else ""


def section(report, title):
    return next(s for s in report.sections if s.title == title)


# Newcombe 1998, Stat Med 17:857-872, table I, score method (values from memory), then own arithmetic.
@pytest.mark.parametrize(
    ("x", "n", "low", "high", "places"),
    [
        (81, 263, 0.2553, 0.3662, 4),
        (15, 148, 0.0624, 0.1605, 4),
        (0, 20, 0.0, 0.1611, 4),
        (1, 29, 0.0061, 0.1718, 4),
        (27, 30, 0.74, 0.97, 2),
        (9, 10, 0.60, 0.98, 2),
        (90, 100, 0.83, 0.94, 2),
    ],
)
def test_wilson_agrees_with_published_intervals(x, n, low, high, places):
    assert tuple(round(end, places) for end in wilson(x, n)) == (low, high)


@pytest.mark.parametrize(("x", "n"), [(0, 1), (5310, 97798), (4, 5), (7, 7)])
def test_wilson_agrees_with_a_general_library(x, n):
    from statsmodels.stats.proportion import proportion_confint

    assert wilson(x, n) == pytest.approx(proportion_confint(x, n, method="wilson"), abs=1e-6)


def test_wilson_refuses_what_is_no_share():
    with pytest.raises(ValueError, match="3 of 2"):
        wilson(3, 2)


def test_how_many_flags_are_true_agrees_with_counting_every_case():
    chances = [0.97, 0.9, 0.6, 0.3, 0.99]
    weights = [0.0] * 6
    for case in product((0, 1), repeat=5):
        weight = 1.0
        for p, hit in zip(chances, case, strict=True):
            weight *= p if hit else 1 - p
        weights[sum(case)] += weight
    least = next(k for k in range(6) if sum(weights[: k + 1]) >= 0.025)
    most = next(k for k in range(6) if sum(weights[: k + 1]) >= 0.975)
    assert true_among(chances) == (least, most)


def test_the_first_number_is_the_share_that_cannot_be_relied_on():
    months = told.months()
    n, of = sum(m["unreliable"] for m in months), sum(m["readings"] for m in months)
    first = made().first.numbers[0]
    assert (first.n, first.of) == (n, of)
    assert first.value == f"{100 * n / of:.1f} %"
    assert first.basis == f"{n:,} of {of:,} readings"
    assert made().first.headline.startswith(
        f"{100 * n / of:.1f} % of charted temperatures cannot be relied on"
    )


def test_the_second_number_counts_flagged_of_judged():
    second = made().first.numbers[1]
    judged = [i for i in told.instruments() if i["n"] >= 10]
    assert second.value == f"{len(told.OFF)} of {len(judged)}"
    low = next(k for k in range(7) if sum_up_to(k) >= 0.025)
    assert second.interval == f"likely {low} to 6 of them truly off (95 %)"


def sum_up_to(k: int) -> float:
    from math import comb

    return sum(comb(6, j) * 0.97**j * 0.03 ** (6 - j) for j in range(k + 1))


def test_the_third_number_is_what_checks_have_shown():
    third = made().first.numbers[2]
    confirming = {"out-of-limits", "mode-changed", "unit-changed"}
    confirmed = sum(code in confirming for code in told.ANSWERED.values())
    assert third.label == f"of {len(told.OFF) + len(told.ANSWERED)} flagged, confirmed on check"
    # Cleaning, replacing and not finding an instrument are no checks: three of the six answers are.
    assert third.value == str(confirmed) == "2"
    assert third.basis == "3 checked, 1 not found"
    assert third.interval.startswith("21 to 94 %")  # 2 of 3, score interval


def test_two_findings_about_one_instrument_count_once():
    twice = [*told.findings(), {**told.findings()[0], "kind": "instrument-drift"}]
    assert made(findings=twice).first.numbers[1].value == made().first.numbers[1].value


def test_without_checks_the_third_number_is_the_most_charted_site():
    unchecked = [f for f in told.findings() if not f["outcomes"]]
    third = made(findings=unchecked).first.numbers[2]
    assert third.label == "temporal against oral readings, at 37 °C"
    assert third.value == "−0.21 °C"
    assert third.interval == "95 % interval −0.24 to −0.18 °C"
    assert made(findings=unchecked, unit="F").first.numbers[2].value == "−0.38 °F"


def test_without_instruments_and_patients_it_says_what_it_cannot_know():
    bare, extra, kept = told.without_instruments()
    report = made(bare, extra, kept)
    assert "which instruments they came from is not charted" in report.first.headline
    assert [n.label for n in report.first.numbers] == [
        "of charted temperatures cannot be relied on",
        "of readings have no clear site charted",
        "of rows could not be read and were set aside",
    ]
    assert report.first.numbers[1].value == f"{100 * 1700 / told.TOTAL:.1f} %"
    assert "Which instrument is off: the export does not name it." in report.first.cannot_say
    assert "do not say which instrument" in everything(to_builtins(section(report, "Instruments")))
    assert any("instrument and patient" in a.what for a in report.first.actions)


def test_dates_shifted_for_each_patient_are_said_and_not_drawn():
    """As in a published intensive-care sample, whose dates run over ninety years."""
    shifted = [{**m, "month": f"{2110 + 9 * i}-04"} for i, m in enumerate(told.months())]
    report = made(supplement={**told.supplement(), "months": shifted})
    assert report.first.chart is None
    assert report.first.cannot_say[1].startswith("Dates run from Apr 2110 to Apr 2200 with most months empty")
    assert "in numbers" not in everything([to_builtins(s) for s in report.sections])


def test_ten_years_of_real_months_are_drawn():
    years = [{**told.months()[0], "month": f"{2010 + i // 12}-{i % 12 + 1:02d}"} for i in range(140)]
    assert made(supplement={**told.supplement(), "months": years}).first.chart is not None


def test_an_empty_book_still_makes_a_report():
    report = report_from({}, {}, [], time=told.MADE)
    assert report.first.chart is None
    assert report.first.numbers == ()
    assert report.first.caution


def test_the_fleet_limit_stands_first():
    assert made().first.cannot_say[0] == told.FLEET
    assert set(told.result()["limits"]) <= set(
        everything(to_builtins(section(made(), "What this cannot say"))).split("\n")
    )


def test_actions_that_do_not_fit_are_counted():
    kinds = (
        "instrument-offset",
        "value-spike",
        "copied-values",
        "round-batch",
        "repeat-too-soon",
        "implausible",
    )
    wanting = {"requests": [{"column": "entered", "why": "to tell"}]}
    base = {"subject": {"type": "ward", "id": "Larch"}, "sentence": "", "action": "", "n": 100, "causes": []}
    page = report_from({}, wanting, [base | {"kind": k} for k in kinds], time=told.MADE).first
    assert len(page.actions) == 6 and page.actions[-1].what == "And 2 more, see page 2 and after."
    fewer = report_from({}, wanting, [base | {"kind": k} for k in kinds[:4]], time=told.MADE).first
    assert len(fewer.actions) == 5 and "more, see" not in fewer.actions[-1].what


def test_with_too_few_readings_to_tell_anything_page_1_does_not_reassure():
    import invented_wards as few

    given = few.supplement(few.a_ward("A", of=few.weeks([1], n=19), quiet=False))
    given["months"] = [{"month": "2026-01", "readings": 19, "unreliable": 0, "why": {}}]
    page = report_from({"limits": []}, given, [], time=told.MADE).first
    assert page.headline == "Too few readings to tell (19 on 1 ward); this says nothing for or against it."
    assert not [n for n in page.numbers if "relied" in n.label] and "more months" in page.decision


def test_actions_name_no_one_unless_someone_is_named_and_are_dated_after_the_report():
    assert {a.owner for a in made().first.actions} == {""}
    assert all(a.due > date(2026, 11, 25) for a in made().first.actions)
    named = made(owner="Ward managers")
    assert {a.owner for a in named.first.actions} == {"Ward managers"}


def test_the_decision_is_hers_when_she_wrote_one():
    assert made().first.decision.startswith("Proposed: ")
    assert made(decision="Buy a reference.").first.decision == "Buy a reference."


def test_nothing_is_taken_away_without_a_spare_and_nobody_is_blamed():
    text = everything(to_builtins(made())).lower()
    assert "spare" in made().first.actions[0].what
    for word in (
        "remove",
        "withdraw",
        "fake",
        "invented values",
        "fault of the nurse",
        "negligen",
        "fabricat",
    ):
        assert word not in text


def test_groups_under_ten_are_withheld():
    rows = next(b for b in section(made(), "All instruments").blocks if isinstance(b, Grid)).rows
    few = next(row for row in rows if row[0] == "FS-41")
    assert few[1] == "fewer than 10"
    assert few[3:5] == ("–", "too few to tell")
    wards = next(b for b in section(made(), "Wards").blocks if isinstance(b, Grid)).rows
    assert wards[0][:2] == ("Alder", "fewer than 10")
    assert wards[0][3] == "–"
    pairs = [b for b in section(made(), "Sites of measurement").blocks if isinstance(b, Grid)][1].rows
    assert pairs[1][:4] == ("axillary", "fewer than 10", "–", "too few to tell")


def test_a_flagged_instrument_has_its_page():
    page = section(made(), "Instrument FS-07")
    text = everything(to_builtins(page))
    weeks = told.supplement()["weeks"]["instrument"]["FS-07"]
    since = sum(w["n"] for w in weeks if w["week"] >= "2026-06-01")
    assert "reads low by 0.38 °C (0.68 °F), 95 % interval −0.47 to −0.29 °C" in text
    assert f"{since:,} since the week of 01 Jun 2026" in text
    assert "Dirty or scratched lens (60 in 100); to tell: clean the lens and compare again" in text
    assert any(isinstance(b, Chart) and b.rows.tolerance == 0.3 for b in page.blocks)


def test_an_answered_finding_asks_nothing_more():
    report = made()
    assert not [s for s in report.sections if s.title == "Instrument FS-05"]
    assert "lens cleaned" in everything(to_builtins(section(report, "What checks have shown")))


def test_rows_in_are_accounted_for():
    grid = next(
        b for b in section(made(), "What came in and what was left out").blocks if isinstance(b, Grid)
    )
    for row in grid.rows:
        rows, taken, already, aside = (int(cell.replace(",", "")) for cell in row[2:6])
        assert rows == taken + already + aside
    assert grid.rows[-1][0] == "all"


def person(name: str, n: int) -> dict:
    return {
        "person": name,
        "n": n,
        "comparator": "colleagues",
        "offset_c": -0.4,
        "low_c": -0.5,
        "high_c": -0.3,
    }


def about_person(name: str) -> dict:
    said, action = f"{name} reads low.", "Offer an observed scan."
    return told.finding("technique-support", "person", name, -0.4, 210, said, action)


def test_results_by_person_appear_only_when_asked_for_and_never_on_page_1():
    asked = {
        **told.result(),
        "people": [person("N-204", 300), person("N-118", 210), person("N-300", 4), person("N-777", 500)],
    }
    about = [about_person(name) for name in ("N-204", "N-118", "N-300")]
    report = made(asked, findings=[*told.findings(), *about])
    page = section(report, "Help with technique")
    assert page.blocks[0].text == OPENING
    assert "shared log-in" in page.blocks[1].text
    assert page.blocks[2].text == "4 people compared, 3 listed."
    assert page.new_page
    rows = page.blocks[-1].rows
    assert [row[0] for row in rows] == ["N-118", "N-204", "N-300"]  # by name: no ranking
    assert rows[2][1:] == ("fewer than 10", "–", "too few to tell")
    assert "N-777" not in everything(
        [to_builtins(s) for s in report.sections]
    )  # needs no help, is not listed
    assert "N-118" not in everything(to_builtins(report.first))
    unasked = made(findings=[*told.findings(), *about])
    assert "N-118" not in everything([to_builtins(s) for s in unasked.sections]) + everything(
        to_builtins(unasked.first)
    )


def test_the_two_ways_to_compare_sites_stand_side_by_side_and_their_difference_is_said():
    text = everything(to_builtins(section(made(), "Sites of measurement")))
    assert "The two ways differ for temporal by 0.08 °C" in text
    assert "axillary by" not in text  # four pairs say nothing


def test_the_request_names_columns_and_reasons():
    _, extra, _ = told.without_instruments()
    request = make_request(supplement_from(extra).requests, "", time=told.MADE, paper="letter")
    assert [name for name, _ in request.columns] == ["instrument", "patient"]
    assert request.paper == "us-letter"
