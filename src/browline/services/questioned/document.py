"""Answers of the desk as the document that JSON, terminal and page render: `browline.documents.recheck`.

A reading that was not used, and every field of the model where no probability is given, has None.
"""

from collections.abc import Iterable

from browline.documents.recheck import (
    AnswerDocument,
    AnswerSupplement,
    CaseRow,
    CoreRow,
    QuestionedReading,
    RecheckDocument,
    SourceRow,
    StepRow,
    StoryRow,
    WithheldRow,
)
from browline.questioned.explain import Next, Way
from browline.questioned.result import Core, Misled, Step, Story
from browline.services.questioned.desk import Answer, Refused


def recheck_document(answers: Iterable[Answer | Refused]) -> RecheckDocument:
    """One entry for each case, in their order."""
    return RecheckDocument(
        cases=tuple(_case(number, answer) for number, answer in enumerate(answers, start=1))
    )


def _case(number: int, answer: Answer | Refused) -> CaseRow:
    if isinstance(answer, Refused):
        return CaseRow(case=number, refused=str(answer.why))
    return CaseRow(case=number, answer=answer_document(answer))


def answer_document(answer: Answer) -> AnswerDocument:
    """One answer: what to do first, the core, readings, stories, next steps, and where figures come from."""
    words, result, problem = answer.told, answer.result, answer.problem
    act_on = tuple(place + 1 for place in answer.act_on)
    return AnswerDocument(
        escalate=answer.escalate,
        emergencies=answer.emergencies,
        says=words.says,
        act_on=words.act_on,
        act_on_readings=act_on,
        withheld=_withheld(answer),
        not_used=answer.not_used,
        act_as=answer.act_as,
        safer=act_on[0] if len(act_on) == 1 else None,
        outcome="not-settled" if result is None else result.outcome.name.lower().replace("_", "-"),
        loss=None if result is None else float(result.loss),
        left_out=None if result is None else float(result.left_out),
        core=CoreRow() if result is None else _core(result.now),
        fever_c=problem.fever_c,
        low_c=problem.low_c,
        readings=tuple(_reading(answer, place) for place in range(len(answer.readings))),
        stories=_stories(answer),
        steps=_steps(answer),
        notes=answer.notes,
        sources=tuple(SourceRow(says=s.says, of_the_book=s.of_the_book) for s in answer.sources),
        cautions=answer.cautions,
        supplement=AnswerSupplement(core=words.core, lines=words.at_lines),
    )


def _withheld(answer: Answer) -> WithheldRow | None:
    if answer.withheld is None:
        return None
    return WithheldRow(because=answer.withheld.because, says=answer.withheld.says)


def _core(core: Core) -> CoreRow:
    return CoreRow(
        mean_c=float(core.mean_c),
        low_c=float(core.low_c),
        high_c=float(core.high_c),
        fever=float(core.fever),
        low=float(core.low),
    )


def _reading(answer: Answer, place: int) -> QuestionedReading:
    """The reading at this place; of one that was not used nothing is said."""
    reading = answer.readings[place]
    index = answer.used.index(place) if place in answer.used else None
    misled = None if index is None or answer.result is None else answer.result.misled[index]
    return QuestionedReading(
        value_c=reading.value_c,
        site=reading.site,
        minutes_ago=reading.minutes_ago,
        instrument=reading.instrument,
        prepared=reading.prepared,
        used=index is not None,
        core=CoreRow() if misled is None else _core(misled.core),
        by_c=None if misled is None else float(misled.by_c),
        misled=None if misled is None else float(misled.chance),
        causes=_causes(misled),
        sentence="" if index is None else answer.told.readings[index],
    )


def _causes(misled: Misled | None) -> dict[str, int | float]:
    return {} if misled is None else {cause: float(chance) for cause, chance in misled.causes.items()}


def _stories(answer: Answer) -> tuple[StoryRow, ...]:
    stories = answer.result.stories if answer.result is not None else ()
    return tuple(_story(*pair, answer.used) for pair in zip(stories, answer.told.ways, strict=True))


def _story(story: Story, way: Way, used: tuple[int, ...]) -> StoryRow:
    return StoryRow(
        what=story.what,
        site=story.site,
        instrument=story.instrument,
        readings=tuple(used[k] + 1 for k in story.readings),
        chance=float(story.chance),
        shared=story.shared,
        sentence=way.says,
    )


def _steps(answer: Answer) -> tuple[StepRow, ...]:
    weighed = answer.result is not None
    pairs = zip(answer.steps, answer.told.steps, strict=True)
    return tuple(_step(step, words, weighed=weighed) for step, words in pairs)


def _step(step: Step, words: Next, *, weighed: bool) -> StepRow:
    return StepRow(
        kind=step.kind,
        site=step.site,
        wait_minutes=step.wait_minutes,
        fever_from_c=step.fever_from_c,
        no_fever_to_c=step.no_fever_to_c,
        barred=words.barred,
        drop=step.drop if weighed else None,
        settles=step.settles if weighed else None,
        do=words.do,
        heed=words.heed,
        wait=words.wait,
        brings=words.brings,
    )
