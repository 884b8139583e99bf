"""What is typed for one answer of the site and cover chooser."""

from collections.abc import Iterator

from django import forms
from django.forms.boundfield import BoundWidget

from browline.site_choice import AGES, ISOLATIONS, TICKS, Patient

# The ticks in groups as they are met at the bedside; what stands in no group comes last.
GROUPS: dict[str, tuple[str, ...]] = {
    "The patient": (
        "looks-ill",
        "unstable",
        "cold-or-shut-down",
        "fever-question",
        "neutropenia",
        "core-probe",
    ),
    "The head": ("damp", "covered", "forehead-injury", "bandaged", "head-out-of-reach"),
    "Before and around": ("came-in", "heat-in-path", "drink"),
    "Other routes": ("no-oral", "no-rectal"),
}


class PatientForm(forms.Form):
    """One patient in words that name nobody."""

    age = forms.ChoiceField(label="Age", choices=list(AGES.items()), widget=forms.RadioSelect)
    isolation = forms.ChoiceField(
        label="Isolation", choices=list(ISOLATIONS.items()), widget=forms.RadioSelect, initial="none"
    )
    ticks = forms.MultipleChoiceField(
        label="What holds", choices=list(TICKS.items()), widget=forms.CheckboxSelectMultiple, required=False
    )

    def patient(self) -> Patient:
        """The question as the room asks it."""
        given = self.cleaned_data
        return Patient(given["age"], given["isolation"], frozenset(given["ticks"]))

    def groups(self) -> Iterator[tuple[str, list[BoundWidget]]]:
        """The boxes to tick, group by group."""
        boxes = {box.data["value"]: box for box in self["ticks"]}
        for title, words in GROUPS.items():
            yield title, [boxes[word] for word in words]
