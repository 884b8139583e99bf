"""The forms of return demonstrations: marks of steps, people by identifier, reasons."""

from collections.abc import Mapping
from uuid import uuid4

from django import forms

from browline.competency.checklist import Checklist, Step
from browline.competency.judging import MARKS, NOT_SEEN
from browline.services.training.demonstrations.rules import METHODS
from browline.services.training.demonstrations.submissions import STEP
from browline.services.training.sessions.matching import person_meant
from browline.store.models import Person
from browline.web.validators import in_our_years

NOW = {"type": "datetime-local"}
DAY = {"type": "date"}


class PersonField(forms.CharField):
    """Somebody of the book by staff identifier, or by a name that only one person on the list has."""

    def clean(self, value: object) -> Person | None:
        """The person; None where nothing is given and nothing needs to be."""
        given = str(super().clean(value)).strip()
        person = person_meant(given) if given else None
        if given and person is None:
            raise forms.ValidationError("Nobody in the book has this identifier, and nobody alone this name.")
        return person


def moment_field(label: str, *, required: bool = True) -> forms.DateTimeField:
    """A moment on the hospital's clock."""
    picker = forms.DateTimeInput(attrs=NOW, format="%Y-%m-%dT%H:%M")
    return forms.DateTimeField(label=label, required=required, widget=picker, validators=[in_our_years])


class StepsForm(forms.Form):
    """A mark for each step of a version of the checklist; one left alone was not seen."""

    def __init__(
        self,
        data: Mapping[str, object] | None = None,
        *,
        checklist: Checklist,
        marks: Mapping[str, str] | None = None,
        initial: dict[str, object] | None = None,
    ) -> None:
        super().__init__(data, initial=initial)
        self.checklist = checklist
        for step in checklist.steps:
            mark = (marks or {}).get(step.id, NOT_SEEN if marks else None)
            self.fields[STEP + step.id] = forms.ChoiceField(
                choices=list(MARKS.items()), initial=mark, required=False, widget=forms.RadioSelect
            )

    def rows(self) -> list[tuple[Step, forms.BoundField]]:
        """Each step with its field, for the page."""
        return [(step, self[STEP + step.id]) for step in self.checklist.steps]

    def others(self) -> list[forms.BoundField]:
        """The fields that are no steps."""
        return [field for field in self if not field.name.startswith(STEP) and not field.is_hidden]

    def marks(self) -> dict[str, str]:
        """The marks that were made."""
        given = {step.id: self.cleaned_data[STEP + step.id] for step in self.checklist.steps}
        return {step: mark for step, mark in given.items() if mark}


class AmendForm(StepsForm):
    """What a record should say, and why it did not."""

    reason = forms.CharField(label="Reason for the amendment", max_length=200)
    person = PersonField(label="Person observed (staff identifier or name)")
    assessor = PersonField(label="Assessor (staff identifier or name)")
    second = PersonField(label="Second assessor (staff identifier or name)", required=False)
    time = moment_field(label="Seen at")
    method = forms.ChoiceField(label="How it was shown", choices=list(METHODS.items()))
    ward = forms.CharField(label="Ward", max_length=80, required=False)
    instrument = forms.CharField(label="Instrument", max_length=80, required=False)
    taught = forms.CharField(label="What was taught", max_length=400, required=False)


class WithdrawForm(forms.Form):
    """Why a record should not have been made."""

    reason = forms.CharField(
        label="Reason", max_length=200, help_text="For example: entered twice, from the phone and from paper."
    )


class ScoreForm(StepsForm):
    """Another assessor's marks; who they are is asked of the educator only. The key tells a form sent twice."""

    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
    assessor = PersonField(label="Who scored (staff identifier or name)")


class TakeForm(forms.Form):
    """What is put right in a waiting record before it is taken; what is left empty stays as it came."""

    person = PersonField(label="Person observed (staff identifier or name)", required=False)
    assessor = PersonField(label="Assessor (staff identifier or name)", required=False)
    second = PersonField(label="Second assessor (staff identifier or name)", required=False)
    at = moment_field(label="Seen at", required=False)
    reason = forms.CharField(label="Why it was put right", max_length=200, required=False)

    def changes(self) -> dict[str, object]:
        """What was filled in, in the words of a phone's record."""
        given = {name: self.cleaned_data[name] for name in ("person", "assessor", "second")}
        changes: dict[str, object] = {name: person.pk for name, person in given.items() if person}
        if self.cleaned_data["at"]:
            changes["at"] = self.cleaned_data["at"].isoformat()
        return changes


class ReasonForm(forms.Form):
    """Why a waiting record is put by."""

    reason = forms.CharField(label="Reason", max_length=200)


class EntitleForm(forms.Form):
    """Who may assess, from when, until when, on what ground."""

    person = PersonField(label="Staff identifier or name")
    start = forms.DateField(label="From", widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"))
    end = forms.DateField(
        label="Until (empty: until further notice)",
        required=False,
        widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"),
    )
    qualification = forms.CharField(
        label="On what ground",
        max_length=200,
        help_text="Education or experience that fits the skill, and when it was shown.",
    )


class CloseForm(forms.Form):
    """The last day of an entitlement."""

    last_day = forms.DateField(label="Last day", widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"))
