"""An upload holds identifiers: it lies in memory, for a while, and nowhere else."""

import os
from pathlib import Path

import pytest
from bringing import LARCH, as_shown, bring, text
from django.core.files.uploadedfile import SimpleUploadedFile


def memory_files():
    """The anonymous memory files this process has open."""
    links = [Path("/proc/self/fd") / number for number in os.listdir("/proc/self/fd")]
    return [link for link in links if link.is_symlink() and "memfd:upload" in os.readlink(link)]


class TestUploads:
    """An upload holds identifiers: it lies in memory, for a while, and nowhere else."""

    def test_it_is_not_in_any_folder(self, ines, book, tmp_path):
        bring(ines)
        for file in tmp_path.rglob("*"):
            assert not file.is_file() or b"PLANTED-1" not in file.read_bytes(), file

    @pytest.mark.skipif(not hasattr(os, "memfd_create"), reason="anonymous memory files are of Linux")
    def test_it_has_no_name_on_any_disk(self, ines):
        from browline.web.readings.imports import pending_uploads

        bring(ines)
        (upload,) = pending_uploads.waiting()
        assert "memfd:" in os.readlink(upload.path)

    def test_elsewhere_it_lies_in_an_owner_only_file_and_goes(self, book):
        from browline.web.readings.imports.slots import slot_in_folder

        slot = slot_in_folder(book.jobs)
        slot.write(LARCH)
        assert Path(slot.path).read_bytes() == LARCH
        assert os.stat(slot.path).st_mode & 0o077 == 0
        slot.close()
        assert not Path(slot.path).exists()

    def test_what_a_kill_left_in_the_folder_is_swept(self, book):
        from browline.web.readings.imports.slots import slot_in_folder, sweep_folder

        slot_in_folder(book.jobs).write(LARCH)
        sweep_folder(book.jobs)
        assert not list(book.jobs.glob("upload-*"))

    def test_the_job_inherits_it(self, ines, started):
        address = bring(ines)
        ines.post(address + "take/", as_shown(ines, address))
        (handle,) = started[0]["fds"]
        assert started[0]["path"] == f"/proc/self/fd/{handle}"
        assert Path(started[0]["path"]).read_bytes() == LARCH

    def test_it_can_be_forgotten(self, ines):
        address = bring(ines)
        assert "larch.csv" in text(ines.get("/readings/"))
        ines.post(address + "forget/")
        assert "larch.csv" not in text(ines.get("/readings/"))
        assert ines.get(address).status_code == 404

    def test_it_is_forgotten_after_half_an_hour(self, ines, monkeypatch):
        from datetime import timedelta

        from browline.web.readings.imports import pending_uploads

        monkeypatch.setattr(pending_uploads, "KEPT_FOR", timedelta(seconds=0.05))
        address = bring(ines)
        for _ in range(100):
            if not pending_uploads.waiting():
                break
            __import__("time").sleep(0.02)
        assert ines.get(address).status_code == 404

    def test_forgetting_closes_it(self, ines):
        from browline.web.readings.imports import pending_uploads

        bring(ines)
        (upload,) = pending_uploads.waiting()
        pending_uploads.forget(upload.token)
        with pytest.raises(OSError):
            os.fstat(upload.slot.handle)

    @pytest.mark.skipif(not hasattr(os, "memfd_create"), reason="anonymous memory files are of Linux")
    def test_a_refused_form_leaves_none_open(self, ines):
        ines.post("/choices/", {"files": SimpleUploadedFile("larch.csv", LARCH)})
        assert memory_files() == []
