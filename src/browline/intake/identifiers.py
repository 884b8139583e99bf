"""Instrument and staff identifiers: what spreadsheets and people do to them, mended only where one entry fits."""

import re
from collections.abc import Callable, Sequence
from functools import lru_cache

_ROUNDED = re.compile(r"[-+]?\d(?:[.,]\d+)?e[-+]?\d+", re.IGNORECASE)
_SHARED = re.compile(r"agency|bank|float|student|shared|generic|temp|ward|kiosk|interface|system|monitor")


def read_identifier(text: str) -> tuple[str, str | None]:
    """An identifier with outer spaces off and a spreadsheet's ".0" removed, and the repair code if any.

    Leading zeros stay. An identifier in scientific notation has lost its digits: "" is returned.

    >>> read_identifier(" 00417 "), read_identifier("417.0"), read_identifier("1.23E+11")
    (('00417', None), ('417', 'identifier-float'), ('', 'identifier-rounded'))
    """
    cell = " ".join(text.split())
    if _ROUNDED.fullmatch(cell) and ("+" in cell or "." in cell):
        return "", "identifier-rounded"
    if re.fullmatch(r"\d+[.,]0+", cell):
        return re.split("[.,]", cell)[0], "identifier-float"
    return cell, None


def match_instrument(text: str, register: Sequence[str]) -> tuple[str, str | None]:
    """The register's name of an instrument, and the repair code where it had to be mended.

    O for 0, I or L for 1, capitals, spaces, hyphens and leading zeros are forgiven only when exactly one
    entry of the register fits; otherwise the identifier stays as charted.

    >>> match_instrument("FS-O7", ["FS-07", "FS-11"]), match_instrument("FS-99", ["FS-07"])
    (('FS-07', 'instrument-letter'), ('FS-99', None))
    """
    name, repair = read_identifier(text)
    if not name or name in register:
        return name, repair
    for code, key in _FORGIVEN:
        fits = _by_key(tuple(register), key).get(key(name), ())
        if len(fits) == 1:
            return fits[0], code
        if fits:
            return name, repair
    return name, repair


def match_person(text: str, register: Sequence[str]) -> tuple[str, str | None]:
    """The register's spelling of a staff identifier; only spaces and capitals, and lost leading zeros, are mended.

    A spreadsheet takes zeros from numbers only: beside a letter a zero tells two people apart.

    >>> match_person("417", ["00417", "00938"]), match_person("417", ["00417", "0417"])
    (('00417', 'leading-zeros'), ('417', None))
    >>> match_person("KILL10", ["KILL010"]), match_person("kill 010", ["KILL010"])
    (('KILL10', None), ('KILL010', 'leading-zeros'))
    """
    name, repair = read_identifier(text)
    if not name or name in register:
        return name, repair
    fits = _by_key(tuple(register), _number).get(_number(name), ())
    return (fits[0], "leading-zeros") if len(fits) == 1 else (name, repair)


def looks_shared(text: str) -> bool:
    """Whether a staff identifier looks like a log-in that several people share.

    >>> looks_shared("Agency RN 3"), looks_shared("WARD5"), looks_shared("00417")
    (True, True, False)
    """
    return bool(_SHARED.search(text.lower()))


def _tidy(name: str) -> str:
    return re.sub(r"[\s_./-]+", "", name).upper()


def _letters(name: str) -> str:
    return _tidy(name).replace("O", "0").replace("I", "1").replace("L", "1")


def _number(name: str) -> str:
    tidy = _tidy(name)
    return tidy.lstrip("0") if re.fullmatch(r"\d+", tidy) else tidy


def _without_zeros(name: str) -> str:
    return re.sub(r"(?<!\d)0+(?=\d)", "", _tidy(name))


_FORGIVEN: tuple[tuple[str, Callable[[str], str]], ...] = (
    ("instrument-tidied", _tidy),
    ("instrument-letter", _letters),
    ("leading-zeros", _without_zeros),
)


@lru_cache(maxsize=16)
def _by_key(register: tuple[str, ...], key: Callable[[str], str]) -> dict[str, tuple[str, ...]]:
    entries: dict[str, tuple[str, ...]] = {}
    for name in dict.fromkeys(register):
        entries[key(name)] = (*entries.get(key(name), ()), name)
    return entries
