"""The part of the reference on commands: each with its options, and how it ends, as the program itself has them."""

import inspect
from collections.abc import Iterator
from pathlib import Path
from types import UnionType
from typing import Literal, Union, get_args, get_origin

from cyclopts import App
from cyclopts.argument import Argument
from docstring_parser import parse
from reference_tables import table

from browline.cli.main import app
from browline.errors import InputRefused, NotUnderstood

WORDS: dict[object, str] = {int: "N", float: "X", str: "TEXT", Path: "FILE"}
FAULT = 1  # what Python itself ends with where nothing caught the fault


def commands() -> str:
    """A heading, a sentence and a table of options for each command."""
    return "\n\n".join(_command(name, app[name]) for name in app if not name.startswith("-"))


def exits() -> str:
    """What each exit status means."""
    rows = (
        (0, "done"),
        (FAULT, "a fault of ours"),
        (NotUnderstood.exit_status, "the request was not understood"),
        (InputRefused.exit_status, "the input was refused, with the reason"),
    )
    return table(("exit status", "meaning"), ((f"{status}", meaning) for status, meaning in rows))


def _command(name: str, command: App) -> str:
    arguments = list(command.assemble_argument_collection(parse_docstring=True))
    places = "".join(f" {_capitals(one)}" for one in arguments if _by_place(one))
    described = parse(inspect.getdoc(command.default_command) or "")
    says = " ".join(f"{described.short_description} {described.long_description or ''}".split())
    return f"### `browline {name}{places}`\n\n{says}\n\n" + table(("option", "meaning"), _rows(arguments))


def _rows(arguments: list[Argument]) -> Iterator[tuple[str, str]]:
    for one in arguments:
        meaning = " ".join((one.parameter.help or "").split())
        yield f"`{_written(one)}`", f"needed: {meaning}" if _needed(one) and not _by_place(one) else meaning


def _written(argument: Argument) -> str:
    """The option as it is typed, with a word for its value: `--size small|full`, `--no-serve`, `FILES`."""
    if _by_place(argument):
        return _capitals(argument)
    if argument.hint is bool:
        return argument.names[-1 if argument.field_info.default else 0]
    return f"{argument.names[0]} {_value(argument)}"


def _value(argument: Argument) -> str:
    hint = argument.hint
    if get_origin(hint) in (Union, UnionType):
        hint = next(part for part in get_args(hint) if part is not type(None))
    if get_origin(hint) is Literal:
        return "|".join(get_args(hint))
    if argument.names[0] == "--book":
        return "DIR"
    return "FILE|-" if argument.parameter.allow_leading_hyphen else WORDS[hint]


def _by_place(argument: Argument) -> bool:
    return argument.field_info.kind.name != "KEYWORD_ONLY"


def _needed(argument: Argument) -> bool:
    return argument.field_info.default is inspect.Parameter.empty


def _capitals(argument: Argument) -> str:
    several = argument.field_info.kind.name == "VAR_POSITIONAL"
    return argument.names[0].removeprefix("--").upper() + ("..." if several else "")
