"""Work under way."""

import fenwick_vale
import pytest

from browline.services.book import jobs


def text(answer):
    return " ".join(answer.content.decode().split())


@pytest.fixture
def job(book):
    """A review that goes on."""
    from browline.store.models import Job

    return Job.objects.create(verb="review", state="running", message="fitting", done=2, total=4)


@pytest.fixture
def standing(monkeypatch):
    """Makes every job stand as told."""

    def stand(state):
        monkeypatch.setattr(jobs, "status", lambda book, job: state)

    return stand


def test_how_far_it_is(ines, job, standing):
    standing("running")
    page = text(ines.get(f"/under-way/{job.pk}/"))
    assert "fitting 2 of 4" in page and 'hx-get="/under-way/1/progress/"' in page
    assert "You may close this page" in page


def test_every_page_shows_the_way_back_until_it_is_done(ines, job, standing):
    standing("running")
    assert 'href="/under-way/1/">Reviewing the readings</a>: running' in text(ines.get("/instruments/"))
    job.state = "done"
    job.save()
    assert "Reviewing the readings" not in text(ines.get("/instruments/"))


def test_a_finished_one_leads_on_and_asks_no_more(ines, job, standing):
    standing("done")
    page = text(ines.get(f"/under-way/{job.pk}/progress/"))
    assert "See what to do" in page and "hx-get" not in page


def test_a_killed_one_says_so_and_can_be_run_again(ines, job, monkeypatch):
    """Nothing holds the job's lock: its process is gone."""
    from browline.store.models import Job

    page = text(ines.get(f"/under-way/{job.pk}/"))
    assert "Interrupted." in page and "The book is as it was" in page and "Run it again" in page
    monkeypatch.setattr(jobs, "run_again", lambda book, job: Job.objects.create(verb=job.verb))
    assert ines.post(f"/under-way/{job.pk}/again/")["Location"] == "/under-way/2/"


def test_a_killed_import_asks_for_the_file_again(ines, standing):
    from browline.store.models import Job

    standing("interrupted")
    killed = Job.objects.create(verb="import", state="running")
    assert "held in memory only and is gone" in text(ines.get(f"/under-way/{killed.pk}/"))
    assert ines.post(f"/under-way/{killed.pk}/again/")["Location"] == "/readings/"


def test_a_refusal_is_told_as_it_was_written(ines, job, standing):
    standing("refused")
    job.message = "The sheet is empty. A heading row is wanted. Choose another sheet."
    job.save()
    assert job.message in text(ines.get(f"/under-way/{job.pk}/"))


def test_a_fault_of_ours_is_called_one(ines, job, standing):
    standing("failed")
    assert "A fault of ours." in text(ines.get(f"/under-way/{job.pk}/"))


def test_a_finished_import_leads_to_its_receipt(ines, standing):
    from browline.store.models import Job

    standing("done")
    taken = fenwick_vale.an_import()
    result = {"files": [{"rows": 5010, "taken": 4990}], "imports": [taken.pk]}
    job = Job.objects.create(verb="import", state="done", result=result)
    page = text(ines.get(f"/under-way/{job.pk}/"))
    assert "4,990 of 5,010 rows taken" in page
    assert f'href="/readings/imports/{taken.pk}/"' in page


def test_a_file_that_was_here_already(ines, standing):
    from browline.store.models import Job

    standing("done")
    job = Job.objects.create(verb="import", state="done", result={"files": [], "imports": []})
    assert "was here already" in text(ines.get(f"/under-way/{job.pk}/"))


def test_one_that_is_not_there(ines):
    assert ines.get("/under-way/9/").status_code == 404
