"""What is typed at the desk: the readings line by line, the short questions, what must not be used."""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from django import forms
from django.http import QueryDict

from browline.errors import Refusal
from browline.quantities.sites import CORE_SITES, SITE_NAMES
from browline.questioned.problem import ANSWERS, MOST_MINUTES, READ_SITES
from browline.services.questioned.case import CARE
from browline.services.questioned.contraindications import AGES, FLAGS
from browline.services.questioned.parse import UNITS, value_typed

FIRST, MORE, MOST = 4, 4, 20
SAID = (("yes", "Yes"), ("no", "No"), ("unknown", "Not known"))
# The questions as they are met; together they are all that the room knows.
GROUPS: dict[str, tuple[str, ...]] = {
    "The patient": ("worsening", "antipyretic", "warmed", "cooled"),
    "The skin that was read": ("damp", "covered", "heat", "cold-in"),
    "The mouth": ("cold-drink", "hot-drink"),
    "The instrument": ("dirty-lens", "other-mode"),
}
PROBES = [("", "none, or it was read above"), *((site, SITE_NAMES[site]) for site in CORE_SITES)]
SITES = [("", "choose"), *((site, SITE_NAMES[site].capitalize()) for site in READ_SITES)]
DECIMAL = {"inputmode": "decimal", "autocomplete": "off", "maxlength": "12"}
NAMED = {"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false", "list": "register"}


class ReadingForm(forms.Form):
    """One reading; a line without a value is no reading."""

    value = forms.CharField(label="Value", max_length=12, required=False, widget=forms.TextInput(DECIMAL))
    unit = forms.ChoiceField(label="Unit", choices=list(UNITS.items()), required=False)
    site = forms.ChoiceField(label="Site", choices=SITES, required=False)
    minutes_ago = forms.FloatField(
        label="Minutes ago", min_value=0, max_value=MOST_MINUTES, required=False,
        widget=forms.NumberInput({"inputmode": "numeric", "step": "any"}),
    )  # fmt: skip
    instrument = forms.CharField(
        label="Instrument", max_length=80, required=False, widget=forms.TextInput(NAMED)
    )
    prepared = forms.BooleanField(label="The site had been dried, uncovered and waited for", required=False)

    def clean_value(self) -> str:
        """The text as typed; refused with the reason where it is no temperature, as the desk does."""
        text = str(self.cleaned_data["value"])
        if text:
            try:
                value_typed(text, self.data.get(self.add_prefix("unit"), ""))
            except Refusal as refusal:
                raise forms.ValidationError(refusal.came) from None
        return text

    def clean(self) -> dict[str, object]:
        """A value needs its site."""
        given = super().clean() or self.cleaned_data
        if given.get("value") and not given.get("site") and "site" not in self.errors:
            self.add_error("site", "Choose where it was read.")
        return given

    def reading(self) -> dict[str, object]:
        """The reading as a case has it."""
        return {**self.cleaned_data, "minutes_ago": self.cleaned_data["minutes_ago"] or 0}


Lines: TypeAlias = "forms.BaseFormSet[ReadingForm]"
ReadingLines = forms.formset_factory(ReadingForm, extra=FIRST, max_num=MOST, absolute_max=MOST)


class QuestionForm(forms.Form):
    """What was seen of the patient, and what must not be used."""

    age = forms.ChoiceField(
        label="Age", choices=[(word, texts[0]) for word, texts in AGES.items()], initial="adult"
    )
    care = forms.ChoiceField(label="Where", choices=list(CARE.items()), initial="ward")
    core_probe = forms.ChoiceField(label="A core probe that is in place", choices=PROBES, required=False)
    another = forms.BooleanField(label="A second instrument is at hand", required=False, initial=True)
    flags = forms.MultipleChoiceField(
        label="Risks, and reasons against a site", choices=list(FLAGS.items()), required=False,
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip

    def __init__(self, data: Mapping[str, object] | None = None) -> None:
        super().__init__(data)
        for word, question in ANSWERS.items():
            self.fields[word] = forms.ChoiceField(
                label=question, choices=SAID, initial="unknown", required=False, widget=forms.RadioSelect
            )

    def groups(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The short questions, group by group."""
        for title, questions in GROUPS.items():
            yield title, [self[word] for word in questions]

    def about(self) -> list[forms.BoundField]:
        """What is chosen of the patient and the ward."""
        return [self[name] for name in ("age", "care", "core_probe")]

    def case(self, lines: Iterable[ReadingForm]) -> dict[str, object]:
        """The question as the desk reads it, with the readings of these lines."""
        given = self.cleaned_data
        return {
            **{name: given[name] for name in ("age", "care", "core_probe", "another", "flags")},
            "readings": [line.reading() for line in lines if line.cleaned_data.get("value")],
            "answers": {word: given[word] for word in ANSWERS if given[word] in ("yes", "no")},
        }


def with_more_lines(posted: QueryDict) -> QueryDict:
    """What was posted, with more blank lines for readings."""
    extended = posted.copy()
    total = posted.get("form-TOTAL_FORMS", "")
    lines = int(total) if total.isdecimal() and len(total) < 4 else FIRST
    extended["form-TOTAL_FORMS"] = str(min(lines + MORE, MOST))
    return extended
