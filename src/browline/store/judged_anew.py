"""What an earlier version said and this one does not: taken back once, when its book is first opened.

An earlier version judged instruments used by mouth or in the armpit, and listed people where the file could not be
people's. Its findings are withdrawn by an event with the reason; the rows of its reviews lose those numbers, which are
kept beside them in the supplement under `withdrawn`.
"""

from typing import Any

from django.db import transaction

from browline.findings import BY_MODEL, TAKEN_BACK, not_judged
from browline.quantities.sites import CORE_SITES, NOT_TOLD_APART, UNKNOWN
from browline.store.folder import Book
from browline.store.memory import working_memory
from browline.store.models import Finding, Person, Review, Setting
from browline.store.readings import named_files, view_readings
from browline.store.withdrawing import withdraw
from browline.variation.unlike import unlike_people

DONE, ACTOR = "judged-anew", "browline"
ROWS = {"instrument": "instruments", "ward": "wards", "person": "people"}
STILL_COUNTED = (
    "This review was made by an earlier version. Some of its findings were withdrawn since; the share that cannot be"
    " relied on still counts their readings. Review again."
)
Names = dict[str, set[str]]


def judge_anew(book: Book) -> None:
    """Take back what an earlier version of this book's reviews should not have said; once, and all or nothing."""
    if Setting.objects.filter(key=DONE).exists() or not all(f.exists() for f in named_files(book).values()):
        return
    with transaction.atomic():
        _, first = Setting.objects.get_or_create(key=DONE, defaults={"value": True})
        old = [review for review in Review.objects.all() if _is_old(review.result)] if first else []
        if old:
            _take_back(old, _read_elsewhere(book))


def _is_old(result: dict[str, Any]) -> bool:
    rows = [row for part in ROWS.values() for row in result.get(part) or []]
    return any("judged" not in row for row in rows)


def _take_back(reviews: list[Any], without: Names) -> None:
    for review in reviews:
        _amend(review, without)
        review.save(update_fields=["result", "supplement"])
    _withdraw(reviews, without)


def _amend(review: Any, without: Names) -> None:
    """The review without what it should not have said; what it said is kept in its supplement."""
    result, withdrawn = review.result, {}
    for factor, part in ROWS.items():
        rows = result.get(part)
        if rows is None:
            continue
        names = without[factor]
        withdrawn[part] = [row for row in rows if row[factor] in names]
        result[part] = [
            not_judged(row) if row[factor] in names else {**row, "judged": True, "reason": None}
            for row in rows
        ]
    _list_nobody(result, withdrawn)
    gone = [f for f in result.get("findings") or [] if _falls(f, result, without)]
    result["findings"] = [f for f in result.get("findings") or [] if f not in gone]
    if gone:
        result["limits"] = [*(result.get("limits") or []), STILL_COUNTED]
    review.supplement["withdrawn"] = {
        **withdrawn,
        "findings": gone,
        "series": _series(review.supplement, without),
    }


def _series(supplement: dict[str, Any], without: Names) -> dict[str, Any]:
    """Weeks and the model's own figures of those not judged, taken out of the supplement."""
    weeks, model = supplement.get("weeks") or {}, supplement.get("model") or {}
    taken: dict[str, Any] = {}
    for factor in ("instrument", "ward"):
        for name in without[factor]:
            parts = (weeks.get(factor, {}).pop(name, None), model.get(f"{factor}s", {}).pop(name, None))
            if any(part is not None for part in parts):
                taken[f"{factor} {name}"] = {"weeks": parts[0], "model": parts[1]}
    return taken


def _list_nobody(result: dict[str, Any], withdrawn: dict[str, Any]) -> None:
    """Nobody is listed where the readings do not look like people's."""
    if not result.get("people"):
        return

    listed = [row for row in (*withdrawn["people"], *result["people"]) if row["offset_c"] is not None]
    if unlike := unlike_people(row["offset_c"] for row in listed):
        withdrawn["people"], result["people"] = listed, []
        result["people_not_listed"] = {
            "beyond": unlike.beyond,
            "of": unlike.people,
            "sentence": unlike.sentence,
        }
        result["limits"] = [unlike.sentence, *(result.get("limits") or [])]


def _falls(finding: dict[str, Any], result: dict[str, Any], without: Names) -> bool:
    """Whether a finding rests on what is no longer judged, or lists somebody where nobody is."""
    about = finding["subject"]
    factor, name = about["type"], about["id"]
    if finding["kind"] not in BY_MODEL:
        return False
    if factor == "person" and result.get("people_not_listed"):
        return True
    return name in without.get(factor, set()) or _beside(factor, name, result, without)


def _beside(factor: str, name: str, result: dict[str, Any], without: Names) -> bool:
    """Whether a ward or person is known only together with an instrument that is not judged."""
    if factor not in ("ward", "person"):
        return False
    rows = (row for row in result.get(ROWS[factor]) or [] if row[factor] == name)
    partners = {partner for row in rows for partner in row.get("confounded_with") or []}
    return bool(partners & {f"instrument {instrument}" for instrument in without["instrument"]})


def _withdraw(reviews: list[Any], without: Names) -> None:
    """Findings still open, each with the reason; a person's by what the last review about people says."""
    results = {review.pk: review.result for review in reviews}
    opened = Finding.objects.open().filter(last_review__in=results)
    for finding in opened:
        result = results[finding.last_review_id]
        if _falls(finding.data, result, without):
            unlike = result.get("people_not_listed") if finding.subject_type == "person" else None
            withdraw([finding], unlike["sentence"] if unlike else TAKEN_BACK, actor=ACTOR)


def _read_elsewhere(book: Book) -> Names:
    """Instruments, wards and people that mostly read by mouth or in the armpit; people as the book knows them."""
    con = working_memory()
    view_readings(con, book)
    names: Names = {factor: _mostly(con, factor) for factor in ROWS}
    known = {str(number): name for name, number in Person.objects.values_list("identifier", "pseudonym")}
    names["person"] = {known.get(name, name) for name in names["person"]}
    return names


def _mostly(con: Any, factor: str) -> set[str]:
    """Names with most readings at a site where technique and instrument are not told apart, as a review counts."""
    core = () if factor == "instrument" else CORE_SITES
    excluded = (*core, UNKNOWN) if _most_name_site(con) else core
    rows = con.execute(
        f"""SELECT name::VARCHAR, arg_max(site, n) FROM (
        SELECT {factor} AS name, coalesce(site, '{UNKNOWN}') AS site, count(*) AS n FROM readings
        WHERE {factor} IS NOT NULL AND value BETWEEN 30 AND 44 GROUP BY 1, 2)
        WHERE NOT list_contains(?::VARCHAR[], site) GROUP BY 1""",
        [list(excluded)],
    ).fetchall()
    return {name for name, site in rows if site in NOT_TOLD_APART}


def _most_name_site(con: Any) -> bool:
    """Whether most readings name their site; then those that do not are left out of a review."""
    (most,) = con.execute(
        f"SELECT count(*) FILTER (coalesce(site, '{UNKNOWN}') <> '{UNKNOWN}') * 2 >= count(*) FROM readings"
    ).fetchone()
    return bool(most)
