"""Long work in a process of its own: it goes on when the page is closed, and a kill leaves the book whole.

A job is a row; its process holds a lock file. Running with the lock free means interrupted: nothing was taken,
because every deed is one transaction, and the job can be run again.
"""

import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.utils import timezone
from filelock import FileLock, Timeout

from browline.errors import Refusal
from browline.store.folder import Book
from browline.store.models import Job

Progress = Callable[[int, int, str], None]

EVERY_S = 0.3
STARTING = timedelta(seconds=20)


def start(book: Book, verb: str, arguments: Mapping[str, object], fds: Sequence[int] = ()) -> Job:
    """Make a job and start its process; `fds` are open files it inherits (uploads that exist in memory only)."""
    job = Job.objects.create(verb=verb, arguments=arguments)
    _spawn(book, job.pk, fds)
    return job


def run_again(book: Book, job: Job) -> Job:
    """Start an interrupted job again as a new one with the same arguments."""
    return start(book, job.verb, job.arguments)


def status(book: Book, job: Job) -> str:
    """How a job stands: queued, running, done, refused, failed or interrupted."""
    if job.state == job.RUNNING and _lock_is_free(book, job.pk):
        # The process may have ended between our two looks; its last word is in the row.
        job.refresh_from_db()
        return "interrupted" if job.state == job.RUNNING else str(job.state)
    if job.state == job.QUEUED and abs(timezone.now() - job.made) > STARTING and _lock_is_free(book, job.pk):
        return "interrupted"
    return str(job.state)


def run(book: Book, number: int, verbs: Mapping[str, Callable[..., Mapping[str, object]]]) -> None:
    """Carry a job out in this process by one of `verbs`; what it came to stands in its row."""
    with FileLock(_lock(book, number), timeout=5):
        if not Job.objects.filter(pk=number, state=Job.QUEUED).update(state=Job.RUNNING, started=_now()):
            return
        job = Job.objects.get(pk=number)
        try:
            result = verbs[job.verb](book, _progress(number), **job.arguments)
            _end(number, Job.DONE, "", result)
        except Refusal as refusal:
            question = {"asked": getattr(refusal, "code", ""), "picture": getattr(refusal, "picture", ())}
            _end(number, Job.REFUSED, getattr(refusal, "brief", str(refusal)), question)
        except Exception as fault:
            # The fault's own text may quote a cell, and this row is kept; its type and place may not.
            _end(number, Job.FAILED, f"A fault of ours ({_place(fault)}). Nothing was changed.", {})
            raise


def _spawn(book: Book, number: int, fds: Sequence[int]) -> None:
    command = [sys.executable, "-m", settings.JOB_PROGRAM, str(book.folder), str(number)]
    quiet = subprocess.DEVNULL
    subprocess.Popen(
        command, stdin=quiet, stdout=quiet, stderr=quiet, pass_fds=tuple(fds), start_new_session=True
    )


def _lock(book: Book, number: int) -> Path:
    return book.jobs / f"job-{number}.lock"


def _lock_is_free(book: Book, number: int) -> bool:
    try:
        with FileLock(_lock(book, number), timeout=0):
            return True
    except Timeout:
        return False


def _progress(number: int) -> Progress:
    last = [0.0]

    def tell(done: int, total: int, message: str) -> None:
        if time.monotonic() - last[0] >= EVERY_S:
            last[0] = time.monotonic()
            Job.objects.filter(pk=number).update(done=done, total=total, message=message[:400])

    return tell


def _end(number: int, state: str, message: str, result: Mapping[str, object]) -> None:
    Job.objects.filter(pk=number).update(state=state, message=message[:400], result=result, ended=_now())


def _now() -> datetime:
    return timezone.now()


def _place(fault: Exception) -> str:
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    where = f", {Path(trace.tb_frame.f_code.co_filename).name} line {trace.tb_lineno}" if trace else ""
    return type(fault).__name__ + where
