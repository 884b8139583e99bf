"""What could my roll-out detect? Asked of the planner, with the book's own spreads where the last review has them."""

from dataclasses import dataclass, field, replace

from browline import display
from browline.documents.review import ReviewDocument, Spread
from browline.errors import NotUnderstood
from browline.quantities.both_units import both_units
from browline.quantities.sites import TEMPORAL
from browline.store.models.reviews import last_whole_review
from browline.variation import training
from browline.variation.training import WITHIN, Rollout, Spreads, Way

# name -> (least, most, value until the book says better, whole number, in words); common practice, no source,
# where the book says nothing. Spreads between months and responses are never known beforehand: assumptions.
CHOICES: dict[str, tuple[float, float, float, bool, str]] = {
    "wards": (2, 200, 8, True, "wards"),
    "months": (4, 60, 12, True, "months altogether"),
    "before": (1, 24, 3, True, "months before the first ward starts"),
    "readings": (5, 100_000, 300, False, "forehead readings a ward charts in a month"),
    "uptake": (1, 12, 3, True, "months until nearly everybody of a ward is signed off"),
    "month_c": (0, 0.5, 0.05, False, "how much a ward’s months wander"),
    "decay": (0, 0.99, 0.7, False, "how alike two months in a row are, 0 to 0.99"),
    "response_c": (0, 0.5, 0.03, False, "how much wards differ in what teaching does"),
    "per_stay": (1, 300, 10, False, "readings a stay"),
    "hours": (0.5, 48, 6, False, "hours between a stay’s readings"),
    "patient_c": (0, 2, 0.3, False, "spread between patients"),
    "course_c": (0, 2, 0.35, False, "spread within a stay"),
    "course_hours": (0.5, 500, 24, False, "hours over which a stay’s course is alike"),
    "reading_c": (0.05, 2, 0.3, False, "spread between readings at one moment"),
    "person_c": (0, 1, 0.1, False, "spread between people"),
}
SIGNED_OFF_IN_THE_END = 0.9
PEOPLE, PEOPLE_STAY = 20.0, 0.95


@dataclass(frozen=True)
class RolloutOptions:
    """What is asked; sizes in °C. `of_the_book`: names of those taken from the last review."""

    wards: float
    months: float
    before: float
    readings: float
    uptake: float
    month_c: float
    decay: float
    response_c: float
    per_stay: float
    hours: float
    patient_c: float
    course_c: float
    course_hours: float
    reading_c: float
    person_c: float
    of_the_book: tuple[str, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        for name, (least, most, _, _, label) in CHOICES.items():
            if not least <= getattr(self, name) <= most:
                raise NotUnderstood(
                    f"{label[:1].upper()}{label[1:]}: {getattr(self, name):g} was asked for.",
                    f"From {least:g} to {most:g} can be planned for.",
                    "Change that number.",
                )
        if self.before > self.months - 2:
            raise NotUnderstood(
                f"{self.before:g} months before the first start, of {self.months:g}, leave no time to teach.",
                "Two months are wanted after them at least.",
                "Plan for more months, or begin sooner.",
            )


@dataclass(frozen=True)
class Row:
    """One way: in words, when wards start, and what would be seen, in both units; None where nothing could.

    `half`, `twice`: seen 8 times in 10 if wards' months wander half or twice as much as assumed.
    """

    way: str
    starting: str
    seen_80: str | None
    seen_90: str | None
    half: str | None
    twice: str | None


@dataclass(frozen=True)
class Detectable:
    """The answer: rows, what they mean, and how many patients read once a ward's month is worth."""

    rows: tuple[Row, ...]
    sentences: tuple[str, ...]
    effective: float


def first_options() -> RolloutOptions:
    """What the form shows at first: the book's own figures where the last review has them, else assumptions."""
    review = last_whole_review()
    known = {} if review is None else _book_figures(review.document)
    usual = {name: value for name, (_, _, value, _, _) in CHOICES.items()}
    bounded = {name: min(max(value, CHOICES[name][0]), CHOICES[name][1]) for name, value in known.items()}
    options = RolloutOptions(**{**usual, **bounded}, of_the_book=tuple(bounded))
    return replace(options, before=min(options.before, options.months - 2))


def _book_figures(document: ReviewDocument) -> dict[str, float]:
    """What a review's JSON says of wards, readings and spreads."""
    from datetime import datetime

    readings, spread = document.readings, document.spread or Spread()
    wards = readings.wards
    figures: dict[str, float | None] = {
        "wards": wards,
        "patient_c": spread.patient_sd_c,
        "course_c": spread.course_sd_c,
        "course_hours": spread.course_hours,
        "reading_c": spread.reading_sd_c,
        "person_c": spread.person_sd_c,
    }
    if readings.stays:
        figures["per_stay"] = round(readings.used / readings.stays, 1)
    scanned = next((s.n for s in document.sites if s.site == TEMPORAL), None)
    first, last = readings.first, readings.until
    if scanned and wards and first and last:
        days = datetime.fromisoformat(last) - datetime.fromisoformat(first)
        figures["readings"] = round(scanned / wards / max(days.days / 30.44, 1))
    return {name: round(float(value), 3) for name, value in figures.items() if value}


def detectable(options: RolloutOptions, first_unit: str = "C") -> Detectable:
    """What three ways of rolling out could detect."""
    worth = training.effective_share(
        options.per_stay,
        options.hours,
        options.patient_c,
        options.course_c,
        options.course_hours,
        options.reading_c,
    )
    whole = (int(options.wards), int(options.months), int(options.before))
    rows, prospects = [], []
    for way in Way:
        begun = training.starts(way, *whole)
        usual, half, twice = (
            training.prospect(_rollout(options, begun, worth, f), begun) for f in (1.0, 0.5, 2.0)
        )
        prospects.append((way, usual))
        sizes = (usual.seen_80_c, usual.seen_90_c, half.seen_80_c, twice.seen_80_c)
        eight_in_ten, nine_in_ten, less, more = (
            None if size is None else both_units(f"{{d {display.decimal(size, 2)}}}", first_unit)
            for size in sizes
        )
        rows.append(
            Row(
                way=way.words,
                starting=_starting(begun),
                seen_80=eight_in_ten,
                seen_90=nine_in_ten,
                half=less,
                twice=more,
            )
        )
    sentences = tuple(both_units(sentence, first_unit) for sentence in training.compared(prospects))
    return Detectable(tuple(rows), sentences, options.readings * worth)


def _rollout(options: RolloutOptions, begun: tuple[int, ...], worth: float, times: float) -> Rollout:
    """The planner's problem; wards are compared with themselves, as the analysis does."""
    spreads = Spreads(
        ward=WITHIN,
        ward_month=times * options.month_c,
        decay=options.decay,
        reading=training.single_reading_sd(options.patient_c, options.course_c, options.reading_c),
        response=options.response_c,
        person=options.person_c,
        people=PEOPLE,
        people_stay=PEOPLE_STAY,
    )
    steps = int(options.uptake)
    uptake = [SIGNED_OFF_IN_THE_END * (k + 1) / steps for k in range(steps)]
    return Rollout.starting(begun, int(options.months), options.readings * worth, spreads, uptake)


def _starting(begun: tuple[int, ...]) -> str:
    """When wards start, months counted from 1.

    >>> _starting((2, 2, 2)), _starting((2, 2, 5)), _starting((2, 3, 5, 6))
    ('all 3 in month 3', '2 in month 3, 1 in month 6', 'one by one from month 3 to month 7')
    """
    months = sorted(set(begun))
    if len(months) == 1:
        return f"all {len(begun)} in month {months[0] + 1}"
    if len(months) <= 2:
        return ", ".join(f"{begun.count(m)} in month {m + 1}" for m in months)
    most = max(begun.count(m) for m in months)
    pace = "one by one" if most == 1 else f"at most {most} a month"
    return f"{pace} from month {months[0] + 1} to month {months[-1] + 1}"
