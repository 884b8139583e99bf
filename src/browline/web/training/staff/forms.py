"""A person on the staff list, and an absence."""

from django import forms

from browline.shifts import ABSENCES


def _day(label: str, required: bool = False) -> forms.DateField:
    return forms.DateField(
        label=label, required=required, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )


class EntryForm(forms.Form):
    """What the list says of a person."""

    name = forms.CharField(label="Name", required=False, max_length=120)
    role = forms.CharField(label="Role", required=False, max_length=80)
    ward = forms.CharField(label="Home ward", required=False, max_length=80)
    start = _day("Employed from")
    end = _day("Employed until")


class NewForm(EntryForm):
    """Somebody new."""

    identifier = forms.CharField(label="Staff identifier, as rosters and charts have it", max_length=120)
    field_order = ["identifier"]


class AwayForm(forms.Form):
    """Not to be counted for a while, and why."""

    reason = forms.ChoiceField(label="Why", choices=list(ABSENCES.items()))
    start = _day("From", required=True)
    end = _day("Until (leave empty if not known)")


class BackForm(forms.Form):
    """The last day of an absence."""

    end = _day("Last day away", required=True)
