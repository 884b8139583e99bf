"""What a code stands for; whose roster it is; who an entry on no list is."""

from collections.abc import Iterable, Mapping
from datetime import time

from django import forms

from browline.services.imports.grid_look import SameName
from browline.shifts import KINDS, ON_DUTY
from browline.store.models import Person

CLOCK = forms.TimeInput(attrs={"type": "time"}, format="%H:%M")


class CodeForm(forms.Form):
    """One code: its kind, and its hours where that is a turn of duty. Left without a kind it stays open."""

    code = forms.CharField(widget=forms.HiddenInput, max_length=20)
    kind = forms.ChoiceField(
        label="Stands for", choices=[("", "not settled yet"), *KINDS.items()], required=False
    )
    times: int
    """In how many turns of the file it stands, where the form is one of several."""
    start = forms.TimeField(label="From", required=False, widget=CLOCK)
    end = forms.TimeField(label="To", required=False, widget=CLOCK)

    def clean(self) -> dict[str, object]:
        """A turn of duty begins and ends."""
        cleaned = super().clean() or {}
        hours = cleaned.get("start"), cleaned.get("end")
        if cleaned.get("kind") in ON_DUTY and (None in hours or hours[0] == hours[1]):
            raise forms.ValidationError("Say when it begins and ends.")
        return cleaned

    @property
    def code_text(self) -> str:
        """The code as it is written."""
        return str(self["code"].value())


def code_forms(
    counted: Iterable[tuple[str, int]],
    known: dict[str, tuple[str, time | None, time | None]],
    data: Mapping[str, object] | None = None,
) -> list[CodeForm]:
    """A form for each (code, how often), with what is known of it filled in."""
    filled = []
    for number, (code, times) in enumerate(counted):
        kind, start, end = known.get(code, ("", None, None))
        initial = {"code": code, "kind": kind, "start": start, "end": end}
        form = CodeForm(data, prefix=f"c{number}", initial=initial)
        form.times = times
        filled.append(form)
    return filled


class SameNameForm(forms.Form):
    """Lines of one name that stand apart: one person on a split post, or two?"""

    answer = forms.ChoiceField(
        required=False,
        widget=forms.RadioSelect,
        choices=[
            ("one", "one person on a split post"),
            ("two", "each line is a person of its own"),
            ("", "not known yet: take one line, set the others aside"),
        ],
    )


def same_name_forms(
    same: Iterable[SameName], data: Mapping[str, object] | None = None
) -> list[tuple[SameName, SameNameForm]]:
    """Each name that stands in lines apart, with its form."""
    return [
        (same_name, SameNameForm(data, prefix=f"n{number}", initial={"answer": ""}))
        for number, same_name in enumerate(same)
    ]


class WholeForm(forms.Form):
    """What holds for the whole roster."""

    ward = forms.CharField(
        label="Ward of this roster (where the file does not say)",
        required=False,
        max_length=80,
        widget=forms.TextInput(attrs={"list": "wards", "autocomplete": "off"}),
    )


class MatchForm(forms.Form):
    """Who of the list an entry is."""

    person = forms.CharField(
        label="Staff identifier of the person of the list",
        max_length=120,
        widget=forms.TextInput(attrs={"list": "people", "autocomplete": "off"}),
    )

    def clean_person(self) -> Person:
        """The listed person of this identifier."""
        person = Person.objects.listed().filter(identifier=self.cleaned_data["person"].strip()).first()
        if person is None:
            raise forms.ValidationError("Nobody on the list has this identifier.")
        return person
