"""The same demonstration scored by another assessor on their own, to see whether assessors agree.

A score belongs to the first record of a demonstration: an amendment may come from talking the two over.
"""

from collections.abc import Mapping
from uuid import UUID

from django.db import IntegrityError

from browline.competency.judging import judge, whole
from browline.errors import InputRefused
from browline.services.book.clock import local_day
from browline.services.training.demonstrations import rules
from browline.services.training.demonstrations.reading import chain
from browline.store.event_log import recorded
from browline.store.models import Demonstration, SecondScore


def second_score(
    demonstration: Demonstration, assessor: int, steps: Mapping[str, str], *, key: UUID, actor: str
) -> SecondScore:
    """Keep another assessor's marks; one sent again is kept once.

    Refused for the person observed, for an assessor of the record itself, and for one not entitled on that day.
    """
    first = chain(demonstration)[0]
    checklist = rules.find_checklist(first.checklist_id)
    marks = whole(checklist.steps, steps)
    outcome = judge(checklist.steps, steps).outcome
    _refuse_not_independent(first, assessor)
    rules.refuse_unless_entitled(assessor, local_day(first.time))
    try:
        with recorded(actor, "second-score", str(first.key), {"assessor": assessor}):
            score: SecondScore = SecondScore.objects.create(
                key=key, demonstration=first, assessor_id=assessor, steps=marks, outcome=outcome, actor=actor
            )
            return score
    except IntegrityError as fault:
        return _the_same(key, first, assessor, marks, fault)


def _refuse_not_independent(first: Demonstration, assessor: int) -> None:
    if assessor in (first.person_id, first.assessor_id, first.second_id):
        raise InputRefused(
            "This person took part in the record itself.",
            "A second score comes from an assessor who watched and scored alone.",
            "Choose another assessor.",
        )


def _the_same(
    key: UUID, first: Demonstration, assessor: int, marks: Mapping[str, str], fault: Exception
) -> SecondScore:
    score: SecondScore | None = SecondScore.objects.filter(
        key=key, demonstration=first, assessor=assessor
    ).first()
    if score is not None and score.steps == marks:
        return score
    raise InputRefused(
        "This assessor’s score of this demonstration is here already.",
        "One assessor scores a demonstration once.",
        "Nothing more is needed.",
    ) from fault
