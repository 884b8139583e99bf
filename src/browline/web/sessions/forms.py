"""Plan or move a session, key a sheet in, strike a name, open again."""

from datetime import timedelta
from typing import Any

from django import forms
from django.utils import timezone

from browline.duties.sessions import LONGEST_MINUTES
from browline.store.models import Session, SignIn

WHEN = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")


class SessionForm(forms.Form):
    """When, how long, where, by whom."""

    time = forms.DateTimeField(label="When", widget=WHEN)
    minutes = forms.IntegerField(label="Minutes", min_value=1, max_value=LONGEST_MINUTES, initial=20)
    ward = forms.CharField(
        label="Ward",
        max_length=80,
        required=False,
        widget=forms.TextInput(attrs={"list": "wards", "autocomplete": "off"}),
    )
    educator = forms.CharField(label="Held by", max_length=120, required=False)
    note = forms.CharField(label="Note (no patient’s name)", max_length=200, required=False)


class MoveForm(forms.Form):
    """A new time and place; `read` is when the page showed it to be."""

    time = forms.DateTimeField(label="Move to", widget=WHEN)
    minutes = forms.IntegerField(label="Minutes", min_value=1, max_value=LONGEST_MINUTES)
    ward = forms.CharField(label="Ward", max_length=80, required=False)
    read = forms.CharField(widget=forms.HiddenInput)


class SheetForm(forms.Form):
    """A paper sheet: names ticked among those expected, and identifiers written in by hand, one a line."""

    lines = forms.CharField(
        label="Others on the sheet",
        help_text="Staff identifiers, one on each line.",
        required=False,
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 5}),
    )

    def __init__(self, *args: Any, people: list[tuple[str, str]] = (), **kwargs: Any) -> None:  # type: ignore[assignment]
        super().__init__(*args, **kwargs)
        self.fields["ticked"] = forms.MultipleChoiceField(
            choices=people, required=False, widget=forms.CheckboxSelectMultiple, label="Ticked on the sheet"
        )

    def clean(self) -> dict[str, Any]:
        """Somebody must stand on the sheet."""
        cleaned: dict[str, Any] = super().clean() or {}
        written = [line.strip() for line in cleaned.get("lines", "").splitlines() if line.strip()]
        cleaned["identifiers"] = [*cleaned.get("ticked", ()), *written]
        if not self.errors and not cleaned["identifiers"]:
            raise forms.ValidationError("Nobody is ticked and no line is filled in.")
        return cleaned


class ReasonForm(forms.Form):
    """Why a session is cancelled."""

    reason = forms.CharField(label="Why", max_length=200)


class StrikeForm(forms.Form):
    """Which sign-in is struck, and why."""

    said = forms.ModelChoiceField(label="Who, and how they were signed in", queryset=SignIn.objects.none())
    why = forms.CharField(label="Why", max_length=200)

    def __init__(self, *args: Any, session: Session, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["said"]
        field.queryset = session.sign_ins.filter(struck="").select_related("person")
        field.label_from_instance = lambda said: f"{said.person.shown} ({said.how})"


class OpenForm(forms.Form):
    """For how long people may sign in from now on."""

    hours = forms.ChoiceField(
        label="Open for signing in",
        choices=[("2", "2 hours from now"), ("12", "12 hours"), ("0", "close it now")],
    )

    def until(self) -> Any:
        """The moment at which it closes."""
        return timezone.now() + timedelta(hours=int(self.cleaned_data["hours"]))
