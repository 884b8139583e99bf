"""Plan or move a session, key a sheet in, strike a name, open again."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta

from django import forms
from django.utils import timezone
from django.utils.dateparse import parse_datetime

from browline.services.book.clock import YEARS
from browline.services.training.sessions import LONGEST_MINUTES
from browline.store.models import Session, SignIn
from browline.web.choices import offer

WHEN = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")
YEARS_AHEAD = 5


def in_reach(when: datetime) -> None:
    """Refuse a moment before 2000 or more than five years ahead: a slip of the year."""
    last = timezone.now().year + YEARS_AHEAD
    if not YEARS[0] <= when.year <= last:
        raise forms.ValidationError(
            f"The year {when.year} is not meant: write one from {YEARS[0]} to {last}."
        )


class MomentField(forms.DateTimeField):
    """A moment on the hospital's clock; an hour that the clocks skip or repeat is refused in words."""

    widget = WHEN
    default_validators = [in_reach]

    def to_python(self, value: str | datetime | date | None) -> datetime | None:
        """The moment, aware."""
        try:
            return super().to_python(value)
        except forms.ValidationError as fault:
            if fault.code != "ambiguous_timezone":
                raise
        if meant := parse_datetime(str(value).strip()):
            in_reach(meant)
        raise forms.ValidationError(
            "The clocks change at this hour: that day it comes twice or not at all. Choose another."
        )


class SessionForm(forms.Form):
    """When, how long, where, by whom."""

    time = MomentField(label="When")
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

    time = MomentField(label="Move to")
    minutes = forms.IntegerField(label="Minutes", min_value=1, max_value=LONGEST_MINUTES)
    ward = forms.CharField(label="Ward", max_length=80, required=False)
    read = forms.CharField(widget=forms.HiddenInput)

    def clean(self) -> dict[str, object]:
        """When the page showed it to be, as a moment."""
        cleaned = super().clean() or {}
        try:
            read = datetime.fromisoformat(cleaned.get("read", ""))
        except ValueError:
            read = None
        if read is None or timezone.is_naive(read):
            raise forms.ValidationError("This page has lost what it showed. Open it again, and move it then.")
        return {**cleaned, "read": read}


class SheetForm(forms.Form):
    """A paper sheet: names ticked among those expected, and identifiers written in by hand, one a line."""

    lines = forms.CharField(
        label="Others on the sheet",
        help_text="Staff identifiers, one on each line.",
        required=False,
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 5}),
    )

    def __init__(
        self, data: Mapping[str, object] | None = None, *, people: Iterable[tuple[str, str]] = ()
    ) -> None:
        super().__init__(data)
        self.fields["ticked"] = forms.MultipleChoiceField(
            choices=list(people),
            required=False,
            widget=forms.CheckboxSelectMultiple,
            label="Ticked on the sheet",
        )

    def clean(self) -> dict[str, object]:
        """Somebody must stand on the sheet."""
        cleaned = super().clean() or {}
        written = [line.strip() for line in cleaned.get("lines", "").splitlines() if line.strip()]
        cleaned["identifiers"] = [*cleaned.get("ticked", ()), *written]
        if not self.errors and not cleaned["identifiers"]:
            raise forms.ValidationError("Nobody is ticked and no line is filled in.")
        return cleaned


class ReasonForm(forms.Form):
    """Why a session is cancelled."""

    reason = forms.CharField(label="Why", max_length=200)


class StrikeForm(forms.Form):
    """Who is struck, in every way in which they were signed in or in one; and why."""

    said = forms.ChoiceField(label="Who, and how they were signed in")
    why = forms.CharField(label="Why", max_length=200)

    def __init__(self, data: Mapping[str, object] | None = None, *, session: Session) -> None:
        super().__init__(data)
        sign_ins = list(session.sign_ins.not_struck().select_related("person"))
        together: dict[str, list[SignIn]] = {}
        for sign_in in sign_ins:
            together.setdefault(f"all-{sign_in.person_id}", []).append(sign_in)
        self.ways = {key: ways for key, ways in together.items() if len(ways) > 1}
        self.ways |= {str(sign_in.pk): [sign_in] for sign_in in sign_ins}
        offer(self, "said", ((key, self._choice_label(key)) for key in self.ways))

    def _choice_label(self, key: str) -> str:
        ways = self.ways[key]
        how = ", ".join(sign_in.how for sign_in in ways)
        return f"{ways[0].person.told_apart} ({f'every way: {how}' if len(ways) > 1 else how})"

    def chosen(self) -> list[SignIn]:
        """The sign-ins to be struck, all of one person."""
        return self.ways[self.cleaned_data["said"]]


class OpenForm(forms.Form):
    """For how long people may sign in from now on."""

    hours = forms.ChoiceField(
        label="Open for signing in",
        choices=[("2", "2 hours from now"), ("12", "12 hours"), ("0", "close it now")],
    )

    def until(self) -> datetime:
        """The moment at which it closes."""
        return timezone.now() + timedelta(hours=int(self.cleaned_data["hours"]))
