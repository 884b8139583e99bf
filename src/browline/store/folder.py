"""The folder of an open book, and where its parts lie."""

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Book:
    """An open book: its folder and its identity (the name of its key)."""

    folder: Path
    identity: str

    @property
    def readings(self) -> Path:
        """The folder of Parquet files."""
        return self.folder / "readings"

    @property
    def jobs(self) -> Path:
        """Locks and uploads of work under way."""
        return self.folder / "jobs"

    @property
    def reports(self) -> Path:
        """Where reports are written."""
        return self.folder / "reports"
