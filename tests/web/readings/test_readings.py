"""Bringing a file in: how it will be read, and taking it."""

import fenwick_vale
from bringing import AMBIGUOUS, LARCH, as_shown, bring, text


def test_a_file_is_looked_at_and_nothing_is_taken(ines):
    from browline.store.models import Event, Import

    page = text(ines.get(bring(ines)))
    assert "Nothing has been taken yet" in page
    assert "heading says “Temp”" in page
    assert not Import.objects.exists() and not Event.objects.filter(verb="import").exists()


def test_the_guess_can_be_seen_line_by_line(ines):
    fields = as_shown(ines, bring(ines))
    assert fields["t0-column-time"] == "Obs time"
    assert fields["t0-column-value"] == "Temp"
    assert fields["t0-column-instrument"] == "Asset"
    assert fields["t0-column-site"] == "Route"


def test_what_is_not_mapped_is_said_not_to_be_stored(ines):
    page = text(ines.get(bring(ines, LARCH.replace(b"Nurse", b"Diet"))))
    assert "Not taken and not stored:" in page and "Diet" in page.split("Not taken and not stored:")[1]


def test_a_file_is_taken_as_she_mapped_it(ines, started):
    from browline.intake import from_toml

    address = bring(ines)
    fields = as_shown(ines, address) | {"t0-column-site": "", "zone": "Europe/London"}
    answer = ines.post(address + "take/", fields)
    assert answer["Location"] == "/under-way/1/"
    (asked,) = started
    mapping = from_toml(next(iter(asked["mappings"].values())))
    assert asked["verb"] == "import" and asked["zone"] == "Europe/London"
    assert mapping.columns["value"] == "Temp" and "site" not in mapping.columns


def test_a_needed_column_cannot_be_left_out(ines, started):
    address = bring(ines)
    answer = ines.post(address + "take/", as_shown(ines, address) | {"t0-column-value": ""})
    assert answer.status_code == 422
    assert "Say which heading holds value." in text(answer)
    assert not started


def test_an_unknown_zone_is_refused(ines, started):
    address = bring(ines)
    answer = ines.post(address + "take/", as_shown(ines, address) | {"zone": "Larch/Ward"})
    assert answer.status_code == 422 and not started
    assert "Europe/London is one" in text(answer)


def test_a_date_order_that_cannot_be_settled_is_asked_for(ines, started):
    address = bring(ines, AMBIGUOUS)
    assert "Answer below before you take the file" in text(ines.get(address))
    fields = as_shown(ines, address)
    assert ines.post(address + "take/", fields).status_code == 422
    assert ines.post(address + "take/", fields | {"t0-date_order": "dmy"}).status_code == 302
    assert 'date_order = "dmy"' in next(iter(started[0]["mappings"].values()))


def test_another_kind_shows_its_own_lines(ines, started):
    address = bring(ines)
    fields = as_shown(ines, address) | {"t0-kind": "cleanings", "show-kind": "1"}
    page = text(ines.post(address + "take/", fields))
    assert "what it was cleaned with" in page and not started


def test_a_file_that_cannot_be_read_is_refused_in_words(ines):
    answer = ines.get(bring(ines, b"\x00\x01\x02" * 50, "photo.bin"))
    assert answer.status_code == 422
    assert "What to do:" in text(answer)


def test_what_the_book_can_and_cannot_answer_stands_with_its_files(ines):
    fenwick_vale.an_import(mapping={"columns": {}, "filled": ["time", "value", "ward"]})
    page = text(ines.get("/readings/"))
    assert "What this book can and cannot answer" in page
    assert "no column says which thermometer was used" in page


def test_no_file_at_all(ines):
    assert "No file came." in text(ines.post("/readings/bring/", {}, follow=True))


def test_one_refused_file_does_not_hold_up_the_others_brought_with_it(ines):
    from django.core.files.uploadedfile import SimpleUploadedFile

    files = [SimpleUploadedFile("minutes.csv", b"a,b\n1,2\n"), SimpleUploadedFile("larch.csv", LARCH)]
    address = ines.post("/readings/bring/", {"files": files})["Location"]
    answer = ines.get(address)
    page = text(answer)
    assert answer.status_code == 422
    assert "Not taken: minutes.csv" in page and "What to do:" in page
    others = page.split("Waiting for you")[1]
    assert "larch.csv" in others and "minutes.csv" not in others
    link = others.split('class="button" href="')[1].split('"')[0]
    assert "heading says “Temp”" in text(ines.get(link))


def test_after_one_file_the_page_of_its_work_leads_to_those_that_wait(ines, monkeypatch):
    from browline.services.book import jobs
    from browline.store.models import Job

    bring(ines)
    monkeypatch.setattr(jobs, "status", lambda book, job: job.state)
    job = Job.objects.create(verb="import", state="refused", message="No heading for the value was found.")
    page = text(ines.get(f"/under-way/{job.pk}/"))
    assert "1 more file waits for you." in page and 'href="/readings/#waiting"' in page


def test_temperatures_without_a_time_are_asked_for_it(ines, started):
    address = bring(ines, b"Patient,Minutes in,Temp,Ward\nP1,1450,36.6,Larch\nP2,1495,37.1,Larch\n")
    fields = as_shown(ines, address)
    assert fields["t0-kind"] == "readings" and fields["t0-column-time"] == ""
    answer = ines.post(address + "take/", fields)
    assert answer.status_code == 422 and "Say which heading holds time." in text(answer) and not started


def test_an_earlier_order_of_dates_is_recalled_and_not_chosen(ines, started):
    from browline.intake import Mapping, signature
    from browline.store.models import SavedMapping

    columns = {"patient": "Patient", "time": "Obs time", "value": "Temp", "ward": "Ward"}
    old = Mapping("readings", columns, date_order="mdy")
    SavedMapping.objects.create(signature=signature(columns.values()), kind="readings", toml=old.as_toml())
    address = bring(ines, AMBIGUOUS)
    assert "An earlier file with these headings was read as month, day, year." in text(ines.get(address))
    fields = as_shown(ines, address)
    assert fields["t0-date_order"] == ""
    assert ines.post(address + "take/", fields).status_code == 422 and not started


def test_a_file_stopped_for_its_values_shows_their_picture_and_lets_her_say_that_they_are_peoples(
    ines, started
):
    from browline.cli.job_handlers import VERBS
    from browline.services.book import jobs
    from browline.store.models import Import, Job
    from browline.web.current_book import current_book
    from browline.web.readings.imports import pending_uploads

    rows = [f"P{i},2026-03-07 06:{i:02d},{97.0 if i % 5 == 0 else 36.6},Larch" for i in range(50)]
    address = bring(ines, "\n".join(["Patient,Obs time,Temp (C),Ward", *rows]).encode())
    assert "Are these people" not in text(ines.get(address))

    def take(fields):
        """Take the file as a browser would, and run the job here."""
        number = int(ines.post(address + "take/", fields)["Location"].split("/")[-2])
        asked = {name: value for name, value in started[-1].items() if name not in ("verb", "fds")}
        Job.objects.filter(pk=number).update(arguments=asked, state=Job.QUEUED)
        pending_uploads.taken_by(address.split("/")[-2], number)
        jobs.run(current_book(), number, VERBS)
        return text(ines.get(f"/under-way/{number}/"))

    stopped = take(as_shown(ines, address) | {"people": "on"})
    assert "10 of 50 values were taken only after a mend" in stopped and "36 to 37 °C" in stopped
    assert "Back to how the file is read" in stopped and not Import.objects.exists()
    assert "rightly read" in text(ines.get(address))
    fields = {name: value for name, value in as_shown(ines, address).items() if name != "people"}
    assert "10 of 50" in take(fields)
    assert "50 of 50 rows taken" in take(fields | {"people": "on"})
