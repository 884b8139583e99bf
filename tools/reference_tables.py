"""The tables of the reference that come from catalogues: one row there is one row here."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from browline.audit.result import Outcome as SignalOutcome
from browline.columns import IMPORT_KINDS, reference_rows
from browline.columns.column import Column
from browline.findings import AUDITED, CLEARING, CLOSING, CONFIRMING, HEADINGS, NEXT_AFTER, OUTCOMES
from browline.findings import reference_rows as finding_rows
from browline.instruments import questioned as log
from browline.intake.codes import REASONS, REPAIRS
from browline.materials.pathway import REQUIRED
from browline.quantities.sites import ROWS as SITE_ROWS
from browline.quantities.sites import UNKNOWN
from browline.questioned import ANSWERS
from browline.services.book.preferences import CHOICES
from browline.services.questioned.case import CARE
from browline.services.questioned.contraindications import AGES, FLAGS
from browline.variation.training.verdict import Verdict
from browline.visit_plan import Outcome as PlanOutcome
from browline.visit_plan import Reason


def table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table of the reference."""
    lines = [_line(headings), "|" + "---|" * len(headings), *(_line(row) for row in rows)]
    return "\n".join(lines)


def choices() -> str:
    """What may be set, until when, and why that value."""
    rows = (
        (f"`{key}`", f"{one.until_set}" or "empty", _sentences(one.meaning, one.source))
        for key, one in CHOICES.items()
    )
    return table(("choice", "until set", "meaning"), rows)


def kinds() -> str:
    """Kinds of import with their columns."""
    return table(("kind", "required", "optional"), reference_rows())


def columns() -> str:
    """Every column: what it holds, and the words of a closed list."""
    rows = (
        (kind.id, f"`{one.name}`", _holds(one), one.meaning)
        for kind in IMPORT_KINDS.values()
        for one in kind.columns
    )
    return table(("kind", "column", "holds", "meaning"), rows)


def sites() -> str:
    """Measuring sites: what readings are stored as, and by which words and codes they are known."""
    rows = (
        (f"`{site.code}`", site.name, "core" if site.core else "", ", ".join(site.charted),
         ", ".join(site.loinc), ", ".join((*site.snomed, *site.snomed_observables, *site.snomed_methods)))
        for site in SITE_ROWS
    )  # fmt: skip
    unknown = (f"`{UNKNOWN}`", "not known", "", "a missing word, or one that could mean two sites", "", "")
    return table(("site", "in words", "probe", "words of charts", "LOINC", "SNOMED CT"), (*rows, unknown))


def reasons() -> str:
    """Why a row is set aside, and what is mended in a row that is taken."""
    rows = [(f"`{code}`", "set aside", text) for code, text in REASONS.items()]
    rows += [(f"`{code}`", "mended", text) for code, text in REPAIRS.items()]
    return table(("code", "the row is", "sentence"), rows)


def findings() -> str:
    """Kinds of finding."""
    return table(HEADINGS, ((f"`{kind}`", *more) for kind, *more in finding_rows()))


def outcomes() -> str:
    """What may come of a finding, and what that means for it."""
    rows = ((f"`{code}`", text, _counts(code), NEXT_AFTER.get(code, "")) for code, text in OUTCOMES.items())
    return table(("outcome", "in words", "what it does", "what is next"), rows)


def tests() -> str:
    """Tests of the audit, by the code of a signal."""
    return table(
        ("test", "in words", "finding"),
        ((f"`{k.id}`", k.title, f"`{k.finding}`" if k.finding else "none") for k in AUDITED.values()),
    )


def signals() -> str:
    """How a test of the audit ends."""
    return _sentenced("outcome", {one.value: one.sentence for one in SignalOutcome})


def verdicts() -> str:
    """What the charts say of the teaching."""
    return _sentenced("verdict", {one.value: one.sentence for one in Verdict})


def plan_outcomes() -> str:
    """How the search for a plan ends."""
    return _sentenced("outcome", {one.value: one.sentence for one in PlanOutcome})


def unreached() -> str:
    """Why somebody has no chance in a plan."""
    return _sentenced("reason", {one.value: one.sentence for one in Reason})


def pathway_lines() -> str:
    """The lines that no version of the pathway may lack."""
    return table(
        ("row", "part", "what it says"),
        ((f"`{id}`", f"`{line.part}`", line.meaning) for id, line in REQUIRED.items()),
    )


def log_words() -> str:
    """The closed words of the log of questioned readings."""
    lists = {
        "part": log.PARTS_OF_DAY,
        "age": log.AGES,
        "cause": log.CAUSES,
        "done": log.DEEDS,
        "taken back": log.TAKEN_BACK,
    }
    return _listed(lists)


def recheck_words() -> str:
    """The closed words of a question to the desk."""
    ages = {code: words[0] for code, words in AGES.items()}
    return _listed({"answers": ANSWERS, "age": ages, "care": CARE, "flags": FLAGS})


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _sentenced(heading: str, sentences: Mapping[str, str]) -> str:
    return table((heading, "meaning"), ((f"`{code}`", text) for code, text in sentences.items()))


def _listed(lists: Mapping[str, Mapping[str, str]]) -> str:
    """One table of several closed lists."""
    rows = ((field, f"`{code}`", text) for field, words in lists.items() for code, text in words.items())
    return table(("field", "word", "meaning"), rows)


def _holds(column: Column) -> str:
    return ", ".join(f"`{word}`" for word in column.choices) or column.type


def _counts(code: str) -> str:
    return ", ".join(_effects(code)) or "stays open"


def _effects(code: str) -> Iterator[str]:
    if code in CONFIRMING:
        yield "confirms the finding"
    if code in CLEARING:
        yield "clears it"
    if code in CLOSING:
        yield "closes it"


def _sentences(*parts: str) -> str:
    return ". ".join(part for part in parts if part)
