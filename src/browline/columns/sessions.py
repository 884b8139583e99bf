"""Sessions: who came to teaching."""

from browline.columns.column import Column, ImportKind, Signs
from browline.columns.shared import PERSON, TIME, WARD

SESSIONS = ImportKind(
    id="sessions",
    title="sessions: who came to teaching",
    answers="Who was taught, where and when.",
    signs=Signs(
        rank=4, headings=("person",),
        words="session attended attendance outcome training course taught assessor signed competent competency sign",
    ),
    identity=("person", "time", "outcome"),
    columns=(
        Column("person", "identifier", True, "who came", headings=PERSON),
        Column("time", "time", True, "when", headings=TIME),
        Column("ward", "word", False, "where", headings=WARD),
        Column(
            "outcome", "closed", False, "attended, signed off, or not yet",
            choices=("attended", "signed-off", "not-yet"),
            tick="attended",
            headings="""
                outcome, result, status, attended, attendance, signed off, sign off, signoff, passed, competent,
                completed, competency, present, pass, achieved
            """,
            words={
                "signed-off": """
                    signed off, signed-off, sign off, signoff, competent, passed, pass, met, achieved, validated,
                    completed, complete, s/o, so, met expectations
                """,
                "not-yet": """
                    not yet, not-yet, not competent, not yet competent, failed, fail, not met, repeat, needs
                    practice, needs further practice, refer, remediation, incomplete, not signed off
                """,
                "attended": "attended, attend, attending, present, here, came, participated, trained",
            },
        ),
        Column(
            "assessor", "identifier", False, "who assessed",
            headings="""
                assessor, assessed by, assessor id, signed off by, examiner, evaluator, trainer, assessor no,
                verified by, sign off by, observer
            """,
        ),
    ),
)  # fmt: skip
