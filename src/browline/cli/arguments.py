"""Options as the commands share them: a file to write, a day."""

from datetime import date
from pathlib import Path

from browline.errors import NotUnderstood


def check_folder(path: Path | None) -> None:
    """Refuse a file in a folder that is not there, or a folder for a file, before any work is done for it."""
    if path is not None and path.is_dir():
        raise NotUnderstood(
            f"{path} is a folder.", "What is written is a file.", "Name the file in it as well."
        )
    if path is not None and not path.absolute().parent.is_dir():
        raise NotUnderstood(
            f"There is no folder {path.absolute().parent}.", "A file needs one.", "Make it first."
        )


def day(text: str | None) -> date | None:
    """A day written as 2026-03-01; refuses anything else."""
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise NotUnderstood(
            f"{text!r} is not a day.", "Days are written as 2026-03-01.", "Mend it."
        ) from fault
