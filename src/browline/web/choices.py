"""The choices of a field that are known only when its form is shown."""

from collections.abc import Iterable

from django import forms


def offer(form: forms.Form, name: str, choices: Iterable[tuple[str, str]]) -> None:
    """Let a field of this form offer these values, each with its words."""
    field = form.fields[name]
    if not isinstance(field, forms.ChoiceField):
        raise TypeError(f"{name} is no field with choices")
    field.choices = list(choices)
