"""What is stated of the kit: how many a ward should have ready, and how many readings a battery lasts."""

from browline.errors import NotUnderstood
from browline.store.event_log import recorded
from browline.store.models import Setting

NEED, BATTERY = "instruments-needed", "battery-readings"


def needed() -> dict[str, int]:
    """How many instruments each ward should have ready, where stated."""
    return {ward: int(number) for ward, number in _kept(NEED).items()}


def battery_readings() -> dict[str, float]:
    """Readings a battery lasts, by model; "" for any other."""
    return _kept(BATTERY)


def state_need(ward: str, number: int | None, *, actor: str) -> None:
    """State how many instruments a ward should have ready; None takes the statement back."""
    if number is not None and not 0 <= number <= 500:
        raise NotUnderstood(
            f"{ward} cannot need {number} instruments.", "A need is from 0 to 500.", "Write another number."
        )
    _change(NEED, ward, number, actor)


def state_battery(model: str, number: float | None, *, actor: str) -> None:
    """State how many readings a battery lasts in a model ("" for any other); None takes it back."""
    if number is not None and not 100 <= number <= 1_000_000:
        raise NotUnderstood(
            f"A battery does not last {number:g} readings.",
            "It is from 100 to a million.",
            "Look at the instructions.",
        )
    _change(BATTERY, model, number, actor)


def _kept(key: str) -> dict[str, float]:
    kept = Setting.objects.filter(key=key).first()
    return {} if kept is None else dict(kept.value)


def _change(key: str, name: str, number: float | None, actor: str) -> None:
    with recorded(actor, "set", f"{key} {name}".strip(), {"value": number}):
        value: dict[str, float | None] = {**_kept(key), name: number}
        value = {name: number for name, number in value.items() if number is not None}
        Setting.objects.update_or_create(key=key, defaults={"value": value})
