"""What is asked of a plan, and where a visit is moved to."""

from collections.abc import Iterable, Mapping
from datetime import date

from django import forms

from browline.errors import NotUnderstood
from browline.services.training.visit_plan.options import RANGES, WHOM, Options, options_of
from browline.web.choices import offer

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
FIRST_ASKED = (
    "first", "weeks", "hours_a_week", "visit_minutes", "weekdays", "weekends", "weekend_days", "night", "nights",
    "share",
)  # fmt: skip
SPAN_HELP = "Empty where you cannot come then."


def _number(name: str, label: str, help_text: str = "", step: str = "1") -> forms.IntegerField:
    least, most, _ = RANGES[name]
    widget = forms.NumberInput(attrs={"step": step, "inputmode": "decimal"})
    if step == "1":
        return forms.IntegerField(
            label=label, min_value=int(least), max_value=int(most), help_text=help_text, widget=widget
        )
    return forms.FloatField(label=label, min_value=least, max_value=most, help_text=help_text, widget=widget)


def _span(label: str, help_text: str = SPAN_HELP) -> forms.CharField:
    return forms.CharField(label=label, max_length=20, required=False, help_text=help_text)


class PlanForm(forms.Form):
    """Weeks, hours, times, cover; what is rarely changed stands behind the first fields."""

    first = forms.CharField(label="From", widget=forms.DateInput(attrs={"type": "date"}))
    weeks = _number("weeks", "Weeks", "As far as the roster goes; 1 to 6.")
    hours_a_week = _number(
        "hours_a_week",
        "Your hours a week",
        "Visits and the walks between them, Monday to Sunday. A week of which the plan has only a part has all its"
        " hours, less those of sessions in it already.",
        "0.5",
    )
    visit_minutes = _number("visit_minutes", "Minutes of a visit")
    weekdays = _span("Weekdays")
    weekends = _span("Weekends")
    weekend_days = _number("weekend_days", "Weekend days at most", "In the whole plan.")
    night = _span("Nights")
    nights = _number("nights", "Nights at most", "In the whole plan; two a month is a usual beginning.")
    share = _number(
        "share", "Away at once, per cent of those on duty", "One of four is 25; one may always leave."
    )
    at_once = _number("at_once", "Away at once, at most")
    stay = _number("stay", "Always stay on the ward")
    person_minutes = _number("person_minutes", "Minutes for each person")
    walk_minutes = _number("walk_minutes", "Minutes between two visits")
    visits_a_day = _number("visits_a_day", "Visits a day at most")
    days = forms.MultipleChoiceField(
        label="Weekdays you work",
        choices=[(str(n), name) for n, name in enumerate(DAY_NAMES[:5])],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    away = forms.CharField(
        label="Days you are away", required=False, help_text="As 2026-03-07, with spaces between."
    )
    rounds = forms.CharField(
        label="Observation rounds begin",
        required=False,
        help_text="No visit is put there. As 06:00 10:00 14:00.",
    )
    round_minutes = _number("round_minutes", "Minutes of a round")
    release = _number(
        "release", "Of 100 called, how many can come", "60 is a planning number, an assumption.", "any"
    )
    chances = _number("chances", "Chances for each person", "2: one visit, and a make-up for who missed it.")
    half_life_days = _number("half_life_days", "Days until reaching somebody counts half", "", "any")
    hour = _number(
        "hour", "People an hour of yours must bring", "Visits that bring fewer are left out.", "any"
    )
    rest_hours = _number("rest_hours", "Hours of rest between two working days", "", "any")
    whom = forms.ChoiceField(label="Whom to reach", choices=list(WHOM.items()))
    wards = forms.MultipleChoiceField(
        label="Only these wards",
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text="None ticked: all of them.",
    )

    def __init__(
        self,
        data: Mapping[str, object] | None = None,
        *,
        wards: Iterable[str],
        initial: dict[str, object] | None = None,
    ) -> None:
        super().__init__(data, initial=initial)
        offer(self, "wards", ((ward, ward) for ward in wards))

    @property
    def first_options(self) -> list[forms.BoundField]:
        """The fields that are asked before the others."""
        return [self[name] for name in FIRST_ASKED]

    @property
    def further(self) -> list[forms.BoundField]:
        """The fields most plans leave as they are."""
        return [field for field in self if field.name not in FIRST_ASKED]

    def clean(self) -> dict[str, object]:
        """The same, with `options` made of it."""
        gathered = super().clean() or {}
        if not self.errors:
            try:
                self.options = options_of(
                    {
                        **gathered,
                        "days": [int(day) for day in gathered["days"]],
                        "away": gathered["away"].split(),
                        "rounds": gathered["rounds"].split(),
                    }
                )
            except NotUnderstood as refusal:
                self.add_error(None, str(refusal))
        return gathered


def option_values(options: Options) -> dict[str, object]:
    """What the form shows for these options."""
    return {
        **options.as_json(),
        "days": [str(day) for day in options.days],
        "away": " ".join(options.away),
        "rounds": " ".join(options.rounds),
    }


def first_options(today: date) -> Options:
    """What a plan is asked for until she changes it."""
    return Options(today.isoformat())


class MoveForm(forms.Form):
    """Where and when a visit shall be instead."""

    time = forms.DateTimeField(
        label="Move to", widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
    )
    ward = forms.CharField(
        label="Ward", max_length=80, widget=forms.TextInput(attrs={"list": "wards", "autocomplete": "off"})
    )
    minutes = forms.IntegerField(label="Minutes", min_value=5, max_value=120)
