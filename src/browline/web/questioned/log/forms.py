"""The form of a log line: closed lists, and as many values as were read."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from uuid import uuid4

from django import forms

from browline import display
from browline.instruments.questioned import AGES, CAUSES, DEEDS, PARTS_OF_DAY, TAKEN_BACK
from browline.quantities import SITES
from browline.quantities.sites import UNKNOWN
from browline.services.book.preferences import choice
from browline.services.questioned import log as duty
from browline.services.questioned.line import FEWEST_VALUES, MOST_VALUES, Line, Value
from browline.web.choices import offer
from browline.weeks import monday_of

FIRST_VALUES, WEEKS = 4, 13
NONE = "none"
NOT_SAID = ("", "not said")
UNITS = (("C", "°C"), ("F", "°F"))
SITE_WORDS = tuple((s, "site not known" if s == UNKNOWN else s.replace("-", " ")) for s in SITES)


class CommaField(forms.FloatField):
    """A number whose decimals may follow a comma."""

    widget = forms.TextInput

    def to_python(self, value: object) -> float | None:  # type: ignore[override]
        """The number."""
        return super().to_python(value.replace(",", ".") if isinstance(value, str) else value)


class ValueForm(forms.Form):
    """One value as it was read; a row left empty is no value."""

    value = CommaField(
        label="Value", required=False, widget=forms.TextInput(attrs={"inputmode": "decimal", "maxlength": 6})
    )
    unit = forms.ChoiceField(label="Unit", choices=UNITS)
    site = forms.ChoiceField(label="Site", choices=[("", "which site?"), *SITE_WORDS], required=False)
    instrument = forms.ChoiceField(label="Instrument", required=False)

    def __init__(self, data: Mapping[str, object] | None, *, prefix: str, instruments: list[str]) -> None:
        super().__init__(data, prefix=prefix)
        named = [(name, name) for name in instruments]
        offer(self, "instrument", [("", "not in the register"), *named])
        self.fields["unit"].initial = choice("show_unit")

    def clean(self) -> dict[str, object]:
        """A value has a site; “not known” is one."""
        given = super().clean() or {}
        if given.get("value") is not None and not given.get("site"):
            self.add_error("site", "Say the site.")
        return given

    def read(self) -> Value | None:
        """The value, where one was entered."""
        given = self.cleaned_data
        return None if given["value"] is None else Value(**given)


class LogForm(forms.Form):
    """The rest of the line."""

    key = forms.UUIDField(widget=forms.HiddenInput)
    cause = forms.ChoiceField(label="What turned out to be the cause?", choices=list(CAUSES.items()))
    done = forms.MultipleChoiceField(label="What was done? Tick all that hold.", choices=list(DEEDS.items()))
    others = forms.MultipleChoiceField(
        label="Found besides it",
        choices=[(w, s) for w, s in CAUSES.items() if w != "not-found"],
        required=False,
    )
    week = forms.DateField(label="Week", widget=forms.Select)
    part = forms.ChoiceField(
        label="Part of the day", choices=[NOT_SAID, *PARTS_OF_DAY.items()], required=False
    )
    ward = forms.ChoiceField(label="Ward", required=False)
    age = forms.ChoiceField(label="Age of the patient", choices=[NOT_SAID, *AGES.items()], required=False)

    def __init__(self, posted: Mapping[str, object] | None, today: date, *, keep_open: bool = False) -> None:
        """`keep_open`: the form is only asked for another line, so that nothing in it is wrong yet."""
        self.keep_open = keep_open
        super().__init__(posted, initial={"key": uuid4(), "week": monday_of(today)})
        weeks = [monday_of(today) - timedelta(weeks=back) for back in range(WEEKS)]
        names = {0: "this week", 1: "last week"}
        self.fields["week"].widget.choices = [
            (week.isoformat(), names.get(back, f"week of {display.day(week)}"))
            for back, week in enumerate(weeks)
        ]
        offer(self, "ward", [NOT_SAID, *((w, w) for w in duty.wards())])
        instruments = duty.instruments(today)
        self.rows = [
            ValueForm(posted, prefix=f"v{place}", instruments=instruments) for place in range(self._length())
        ]

    def _length(self) -> int:
        """How many rows to show: those posted, one more where that was asked for, and never fewer than at first."""
        posted = self.data.get("rows", "") if self.is_bound else ""
        rows = int(posted) if posted.isdecimal() and len(posted) < 4 else FIRST_VALUES
        return min(max(rows + self.keep_open, FIRST_VALUES), MOST_VALUES)

    @property
    def full(self) -> bool:
        """Whether no more rows can be added."""
        return len(self.rows) >= MOST_VALUES

    def accepted_rows(self) -> Iterator[tuple[int, ValueForm, bool]]:
        """Each row with its number, and whether its value is marked as the one accepted."""
        chosen = self.data.get("accepted", "") if self.is_bound else ""
        for place, row in enumerate(self.rows):
            yield place, row, chosen == str(place)

    def about(self) -> list[forms.BoundField]:
        """The fields about when and where."""
        return [self[name] for name in ("week", "part", "ward", "age")]

    def full_clean(self) -> None:
        """Nothing is wrong yet where only another row was asked for."""
        super().full_clean()
        if self.is_bound and self.keep_open:
            self.errors.clear()

    def clean(self) -> dict[str, object]:
        """The values of the rows, and the place among them of the one accepted."""
        given = super().clean() or {}
        if self.keep_open:
            return given
        wrong = [row for row in self.rows if not row.is_valid()]
        if wrong:
            raise forms.ValidationError("Look at the values: something in them is missing or no number.")
        read = {place: value for place, row in enumerate(self.rows) if (value := row.read()) is not None}
        if len(read) < FEWEST_VALUES:
            raise forms.ValidationError(
                "Enter at least two values: the one in question, and one it was held against."
            )
        given["values"], given["accepted"] = tuple(read.values()), self._accepted(list(read))
        return given

    def _accepted(self, places: list[int]) -> int | None:
        chosen = self.data.get("accepted", "")
        if chosen == NONE:
            return None
        if not chosen.isdecimal() or int(chosen) not in places:
            raise forms.ValidationError("Say which of the values entered was accepted, or that none was.")
        return places.index(int(chosen))

    def line(self) -> Line:
        """The line as the duty takes it."""
        given = dict(self.cleaned_data)
        return Line(**{**given, "done": tuple(given["done"]), "others": tuple(given["others"])})


class TakeBackForm(forms.Form):
    """Why a line should not count."""

    reason = forms.ChoiceField(label="Why it should not count", choices=list(TAKEN_BACK.items()))
