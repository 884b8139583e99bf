"""Uploads held between looking and taking, each by a token, in this process only and not for long."""

import secrets
import threading
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from django.utils import timezone

from browline.services.imports.look import TableLook
from browline.web.readings.imports.slots import Slot
from browline.web.readings.imports.upload import SlotFile

KEPT_FOR = timedelta(minutes=30)


@dataclass
class PendingUpload:
    """One upload: its name is for her eyes only and is never written anywhere.

    `looks` keeps what was made of it (by the kind asked for), so that a long file is looked at once.
    """

    token: str
    name: str
    size: int
    slot: Slot
    until: datetime
    looks: dict[str | None, tuple[TableLook, ...]] = field(default_factory=dict)

    @property
    def path(self) -> Path:
        """Where to read it."""
        return Path(self.slot.path)


_uploads: dict[str, PendingUpload] = {}
_taken_by: dict[int, str] = {}
_lock = threading.Lock()


def hold(upload: object) -> PendingUpload:
    """Keep an upload of a request for half an hour."""
    if not isinstance(upload, SlotFile):
        raise TypeError("an upload came past its handler")
    pending = PendingUpload(
        token=secrets.token_urlsafe(16),
        name=upload.name or "",
        size=upload.size or 0,
        slot=upload.keep(),
        until=timezone.now() + KEPT_FOR,
    )
    with _lock:
        _uploads[pending.token] = pending
    _forget_later(pending.token)
    return pending


def _forget_later(token: str) -> None:
    timer = threading.Timer(KEPT_FOR.total_seconds(), forget, args=[token])
    timer.daemon = True
    timer.start()


def find(token: str) -> PendingUpload | None:
    """The upload of a token, while it is held."""
    with _lock:
        return _uploads.get(token)


def waiting() -> list[PendingUpload]:
    """Uploads that nobody has taken yet, oldest first."""
    with _lock:
        return [pending for pending in _uploads.values() if pending.token not in _taken_by.values()]


def forget(token: str) -> None:
    """Let an upload go; what is gone already is no fault."""
    with _lock:
        pending = _uploads.pop(token, None)
        for job in [job for job, taken in _taken_by.items() if taken == token]:
            del _taken_by[job]
    if pending:
        pending.slot.close()


def taken_by(token: str, job: int) -> None:
    """Remember which job reads the upload, so that it can be tried again if the job does not finish."""
    with _lock:
        _taken_by[job] = token


def jobs_taking(token: str) -> list[int]:
    """The jobs that were to take this upload."""
    with _lock:
        return [job for job, taken in _taken_by.items() if taken == token]


def upload_for_job(job: int) -> PendingUpload | None:
    """The upload that a job was to take, if it is still held."""
    with _lock:
        return _uploads.get(_taken_by.get(job, ""))
