"""Where an upload lies before it is taken: in memory without a name, so that a kill leaves nothing.

On Linux that is an anonymous memory file, which a spawned job inherits by its number. Elsewhere it is a
file in the book's owner-only folder, deleted after use and swept away when the pages open again.
"""

import os
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

PREFIX = "upload-"


@dataclass(frozen=True)
class Slot:
    """An open place for one upload: write to `handle`, let others read from `path`, then `close`."""

    handle: int
    path: str
    close: Callable[[], None]

    @property
    def handles(self) -> tuple[int, ...]:
        """The handles a spawned job must inherit to read `path`."""
        return (self.handle,) if self.path.startswith("/proc/") else ()

    def write(self, chunk: bytes) -> None:
        """Append a chunk, whole."""
        remaining = memoryview(chunk)
        while remaining:
            remaining = remaining[os.write(self.handle, remaining) :]


def open_slot(folder: Path) -> Slot:
    """A new slot, in memory where the system can, else in `folder`."""
    return slot_in_memory() if hasattr(os, "memfd_create") else slot_in_folder(folder)


def slot_in_memory() -> Slot:
    """An anonymous memory file. The number in its path is the same in a job that inherits it."""
    handle = os.memfd_create("upload", os.MFD_CLOEXEC)
    return Slot(handle, f"/proc/self/fd/{handle}", lambda: os.close(handle))


def slot_in_folder(folder: Path) -> Slot:
    """A file that only its owner may read, made with a name that says nothing."""
    handle, path = tempfile.mkstemp(prefix=PREFIX, dir=folder)

    def close() -> None:
        os.close(handle)
        Path(path).unlink(missing_ok=True)

    return Slot(handle, path, close)


def sweep_folder(folder: Path) -> None:
    """Delete uploads that a killed process left behind."""
    for leftover in folder.glob(f"{PREFIX}*"):
        leftover.unlink(missing_ok=True)
