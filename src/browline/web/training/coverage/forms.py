"""The moment that is asked about, and a champion."""

from datetime import datetime, timedelta

from django import forms
from django.utils import timezone

from browline.services.training.sessions.matching import person_meant
from browline.web.validators import in_our_years

MOMENT = "%Y-%m-%dT%H:%M"
# Common practice, no source: hours at which each kind of shift is under way.
UNDER_WAY = {"Early": 10, "Late": 16, "Night": 22}


class MomentForm(forms.Form):
    """When, on the hospital's clock."""

    at = forms.DateTimeField(
        label="On duty at",
        input_formats=[MOMENT],
        validators=[in_our_years],
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format=MOMENT),
    )


def shifts_near(now: datetime) -> list[tuple[str, str]]:
    """The shifts of today and tomorrow, each with the moment to ask about."""
    local_now = timezone.localtime(now)
    days = {"today": local_now, "tomorrow": local_now + timedelta(days=1)}
    return [
        (f"{kind} {word}", day.replace(hour=hour, minute=0, tzinfo=None).isoformat(timespec="minutes"))
        for word, day in days.items()
        for kind, hour in UNDER_WAY.items()
    ]


class ChampionForm(forms.Form):
    """Who helps on which ward, and from when on."""

    person = forms.CharField(label="Who", help_text="Staff identifier or full name.")
    ward = forms.CharField(label="Ward", max_length=80)
    start = forms.DateField(
        label="From",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        validators=[in_our_years],
    )

    def clean_person(self) -> int:
        """The number of the person meant, who has to be on the staff list."""
        person = person_meant(self.cleaned_data["person"].strip())
        if person is None or not person.listed:
            raise forms.ValidationError("Nobody on the staff list is called so.")
        return int(person.pk)


class LastDayForm(forms.Form):
    """The last day of something."""

    last_day = forms.DateField(
        label="Last day",
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        validators=[in_our_years],
    )
