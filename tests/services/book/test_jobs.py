"""Long work in a process of its own: done, refused, or interrupted by a kill; never half done."""

import contextlib
import os
import signal
import time

from browline.services.book import jobs
from browline.store.models import Import, Job


def _ended(book, job, seconds=60):
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        job.refresh_from_db()
        if jobs.status(book, job) not in ("queued", "running"):
            return jobs.status(book, job)
        time.sleep(0.1)
    return "still running"


def test_an_import_as_a_job_leaves_its_receipt(book, export):
    path = export("stay,time,value\nV1,2026-03-07 06:00,36.6\n")
    job = jobs.start(book, "import", {"path": str(path)})
    assert _ended(book, job) == "done"
    assert job.result["files"][0]["taken"] == 1


def test_a_refused_file_is_told_in_words(book, export):
    job = jobs.start(book, "import", {"path": str(export("rose,red\n1,2\n"))})
    assert _ended(book, job) == "refused"
    assert job.message


def test_a_killed_job_is_interrupted_and_can_be_run_again(book, tmp_path):
    path = tmp_path / "large.csv"
    lines = (f"V{i},2026-03-{i % 28 + 1:02d} {i % 24:02d}:{i % 60:02d},36.{i % 10}" for i in range(400_000))
    path.write_text("\n".join(["stay,time,value", *lines]))
    job = jobs.start(book, "import", {"path": str(path)})
    while Job.objects.get(pk=job.pk).state == Job.QUEUED:
        time.sleep(0.02)
    os.kill(_process_of(job), signal.SIGKILL)
    assert _ended(book, job) == "interrupted"
    assert Import.objects.count() == 0
    assert _ended(book, jobs.run_again(book, job)) == "done"


def _process_of(job):
    import psutil

    wanted = ["-m", "browline.cli.job"]
    for process in psutil.process_iter(["cmdline"]):
        line = process.info["cmdline"] or []
        if line[1:3] == wanted and line[-1] == str(job.pk) and process.status() != psutil.STATUS_ZOMBIE:
            return process.pid
    raise AssertionError("the job has no process")


def test_a_fault_of_ours_does_not_quote_the_file(book, monkeypatch):
    from browline.services.book.jobs import run

    job = Job.objects.create(verb="import", arguments={})

    def fault(book, progress):
        raise ValueError("MRN7734219")

    with contextlib.suppress(ValueError):
        run(book, job.pk, {"import": fault})
    job.refresh_from_db()
    assert job.state == Job.FAILED
    assert "MRN7734219" not in job.message
