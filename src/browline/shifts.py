"""Turns of duty: the kinds a roster's code can stand for, and why somebody is not counted."""

from datetime import time

KINDS: dict[str, str] = {
    "early": "early shift",
    "late": "late shift",
    "day": "day shift",
    "long-day": "long day",
    "night": "night shift",
    "off": "day off",
    "leave": "leave",
    "sick": "sick",
    "study": "study day",
    "left": "leaver",
}
ON_DUTY = ("early", "late", "day", "long-day", "night")

# Common practice, no source: the usual codes and hours; the educator settles those of her hospital once.
USUAL: dict[str, tuple[str, time | None, time | None]] = {
    "E": ("early", time(7), time(15)),
    "L": ("late", time(13), time(21)),
    "D": ("day", time(8), time(16)),
    "LD": ("long-day", time(7), time(19, 30)),
    "N": ("night", time(19), time(7, 30)),
    "O": ("off", None, None),
    "OFF": ("off", None, None),
    "DO": ("off", None, None),
    "RD": ("off", None, None),
    "-": ("off", None, None),
    "AL": ("leave", None, None),
    "A/L": ("leave", None, None),
    "ML": ("leave", None, None),
    "S": ("sick", None, None),
    "SL": ("sick", None, None),
    "SD": ("study", None, None),
    "ST": ("study", None, None),
    "LEFT": ("left", None, None),
}

ABSENCES: dict[str, str] = {
    "long-leave": "on long leave",
    "left": "has left",
    "moved": "works elsewhere now",
    "no-patients": "takes no temperatures in this role",
}
