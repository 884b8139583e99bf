"""Do our assessors agree? The demonstrations that two of them scored on their own, for the room to judge."""

from dataclasses import dataclass

from browline.competency import checklist, double_scored
from browline.competency.double_scored import AssessorLeaning, Pair, Score, StepAgreement
from browline.competency.interrater import Agreement
from browline.services.materials.documents import history
from browline.services.training.demonstrations.reading import WITHDRAWN, last_record
from browline.store.models import Demonstration, SecondScore


@dataclass(frozen=True)
class Agreeing:
    """The agreement on outcomes, on each step, and each assessor's leaning; `steps` holds names by mark."""

    outcomes: Agreement
    steps: tuple[StepAgreement, ...]
    leanings: tuple[AssessorLeaning, ...]
    names: dict[str, str]
    critical: frozenset[str]


def agreeing() -> Agreeing:
    """What the demonstrations scored twice show."""
    pairs = pairs_scored_twice()
    steps = _steps()
    return Agreeing(
        outcomes=double_scored.outcomes(pairs),
        steps=double_scored.steps(pairs),
        leanings=double_scored.leanings(pairs),
        names={step.id: step.name for step in steps.values()},
        critical=frozenset(step.id for step in steps.values() if step.critical),
    )


def pairs_scored_twice() -> list[Pair]:
    """Each demonstration with each score made of it by another assessor.

    The first score is the record as it was first made: an amendment may come from talking the two over. A
    demonstration that was withdrawn is left out.
    """
    scored = SecondScore.objects.select_related("demonstration")
    counted = [s for s in scored if last_record(s.demonstration).outcome != WITHDRAWN]
    return [Pair(_score(s.demonstration), _score(s)) for s in counted]


def _score(record: Demonstration | SecondScore) -> Score:
    return Score(record.assessor_id, record.outcome, record.steps)


def _steps() -> dict[str, checklist.Step]:
    """Every step ever used, as its latest version has it."""
    versions = [checklist.read(document.body) for document in reversed(history("checklist"))]
    return {step.id: step for version in versions for step in version.steps}
