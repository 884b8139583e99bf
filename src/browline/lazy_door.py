"""A room's door that loads what is heavy at first use (PEP 562): naming a room starts no solver and compiles no kernel.

if TYPE_CHECKING:
    from browline.room.kernel_file import solve as solve

__getattr__ = lazy_door(__name__, {"solve": "kernel_file"})
"""

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any


def lazy_door(room: str, homes: Mapping[str, str]) -> Callable[[str], Any]:
    """A `__getattr__` for the package `room`: each public name of `homes` is loaded from its file when first asked for.

    Raises AttributeError for any other name, as a module does.
    """

    def load(name: str) -> Any:
        if name not in homes:
            raise AttributeError(f"module {room!r} has no attribute {name!r}")
        return getattr(import_module(f"{room}.{homes[name]}"), name)

    return load
