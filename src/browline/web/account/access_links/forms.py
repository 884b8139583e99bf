"""The form that makes a pass."""

from datetime import timedelta

from django import forms
from django.utils import timezone

from browline.roles import ASSESSOR, PERSON, ROLES, VIEWER
from browline.store.models import Person

LASTS = {"12": "12 hours (a shift)", "72": "3 days", "168": "a week", "720": "30 days"}


class PassForm(forms.Form):
    """For whom, for what, and for how long."""

    role = forms.ChoiceField(
        label="For", choices=[(role, f"{role}: {ROLES[role]}") for role in (ASSESSOR, VIEWER, PERSON)]
    )
    person = forms.CharField(
        label="Whose", required=False, help_text="Staff identifier. Needed for an assessor and for a person."
    )
    hours = forms.ChoiceField(label="Good for", choices=list(LASTS.items()))
    label = forms.CharField(label="Note to yourself", required=False, max_length=80)

    def clean_person(self) -> Person | None:
        """The person of this identifier."""
        given = self.cleaned_data["person"].strip()
        person = Person.objects.filter(identifier=given).first() if given else None
        if given and person is None:
            raise forms.ValidationError("Nobody in the book has this identifier.")
        return person

    def clean(self) -> dict[str, object]:
        """A pass to assess or to the own record names its bearer."""
        cleaned = super().clean() or {}
        if cleaned.get("role") in (ASSESSOR, PERSON) and "person" in cleaned and cleaned["person"] is None:
            self.add_error("person", "Say whose pass this is.")
        if "hours" in cleaned:
            cleaned["until"] = timezone.now() + timedelta(hours=int(cleaned["hours"]))
        return cleaned
