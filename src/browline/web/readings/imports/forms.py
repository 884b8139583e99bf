"""How a file is read, as a form: which heading holds which of our columns, and what only she can say."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from django import forms

from browline.columns import KINDS
from browline.intake import mapping as intake
from browline.services.book import preferences
from browline.services.imports.look import TableLook
from browline.web.readings.imports.wording import KIND_WORDS, REASON_WORDS, ROLE_MEANINGS, ROLE_NAMES

NOT_THERE = ("", "not in this file")
UNITS = (("", "each cell says, or by its size"), ("C", "°C"), ("F", "°F"))
ORDERS = (
    ("", "as the dates settle it"),
    ("dmy", "day first: 07/03/2026 is 7 March"),
    ("mdy", "month first: 03/07/2026 is 7 March"),
    ("ymd", "year first: 2026-03-07"),
)


@dataclass(frozen=True)
class Line:
    """One line of the mapping: our column, the field that names a heading, why, and a cell of it."""

    name: str
    field: forms.BoundField
    needed: bool
    reason: str
    example: str


class TableForm(forms.Form):
    """One table of a file. The fields `column-...` name a heading for each column of its kind."""

    kind = forms.ChoiceField(label="What is in this table?", choices=list(KIND_WORDS.items()))
    unit = forms.ChoiceField(label="Unit of the numbers", choices=UNITS, required=False)
    date_order = forms.ChoiceField(label="Order of day and month", choices=ORDERS, required=False)

    def __init__(self, table: TableLook, data: Mapping[str, object] | None = None, *, prefix: str) -> None:
        self.table = table
        super().__init__(data, initial=initial(table), prefix=prefix)
        headings = [NOT_THERE, *((h, h) for h in table.headings)]
        for name, meaning, _ in kind_columns(table.kind):
            self.fields[f"column-{name}"] = forms.ChoiceField(
                label=name, help_text=meaning, choices=headings, required=False
            )
        for question in table.questions:
            if question.code in self.fields:
                self.fields[question.code].required = True

    def lines(self) -> list[Line]:
        """What the file seems to hold, and what is needed."""
        return [line for line in self._lines() if line.needed or line.field.value() or line.field.errors]

    def further_lines(self) -> list[Line]:
        """What browline could use and the file does not seem to hold."""
        return [
            line for line in self._lines() if not (line.needed or line.field.value() or line.field.errors)
        ]

    def _lines(self) -> list[Line]:
        reasons = self.table.guess.reasons
        return [
            Line(
                name=ROLE_NAMES.get(name, name),
                field=self[f"column-{name}"],
                needed=needed,
                reason=REASON_WORDS.get(reasons.get(name, ""), reasons.get(name, "")),
                example=self._example(self.table.guess.mapping.columns.get(name)),
            )
            for name, _, needed in kind_columns(self.table.kind)
        ]

    def _example(self, heading: str | None) -> str:
        """The first filled cell under a heading among the rows shown."""
        if heading not in self.table.headings:
            return ""
        column = self.table.headings.index(heading)
        return next((row[column] for row in self.table.sample if row[column]), "")

    def clean(self) -> dict[str, object]:
        """Refuse a mapping without its required columns, or with one heading used twice."""
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        missing = self.mapping().missing()
        if missing:
            raise forms.ValidationError(f"Say which heading holds {' and '.join(missing)}.")
        return cleaned

    def mapping(self) -> intake.Mapping:
        """The mapping as entered; the filter of a long format and agreed ward names stay as guessed."""
        entered = self.cleaned_data
        columns = {
            name: entered[f"column-{name}"]
            for name, _, _ in kind_columns(self.table.kind)
            if entered.get(f"column-{name}")
        }
        return replace(
            self.table.guess.mapping,
            columns=columns,
            unit=entered["unit"] or None,
            date_order=entered["date_order"] or None,
        )


def kind_columns(kind: str) -> list[tuple[str, str, bool]]:
    """Our columns of a kind: name, meaning, required. Readings may also come in two columns for one."""
    columns = [(c.name, c.meaning, c.required) for c in KINDS[kind]]
    roles = intake.SPLIT_ROLES if kind == "readings" else ()
    return columns + [(role, ROLE_MEANINGS[role], False) for role in roles]


def initial(table: TableLook) -> dict[str, str]:
    """What the form says before she changes it: the guess."""
    guessed = table.guess.mapping
    return {
        "kind": table.kind,
        "unit": guessed.unit or "",
        "date_order": guessed.date_order or "",
        **{f"column-{name}": heading for name, heading in guessed.columns.items()},
    }


class FileForm(forms.Form):
    """What holds for the whole file. `people` is shown only after the file was stopped for its values."""

    zone = forms.CharField(
        label="Time zone of the ward’s clock (optional)",
        required=False,
        widget=forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
    )

    people = forms.BooleanField(
        label="I have looked: these are people’s temperatures, and rightly read", required=False
    )

    def clean_zone(self) -> str:
        zone = str(self.cleaned_data["zone"])
        if zone and not preferences.is_zone(zone):
            raise forms.ValidationError("This is not the name of a time zone; Europe/London is one.")
        return zone
