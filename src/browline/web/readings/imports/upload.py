"""Django hands every uploaded file to this handler, which streams it into a slot and nowhere else."""

from typing import TYPE_CHECKING

from django.core.files.uploadedfile import UploadedFile
from django.core.files.uploadhandler import FileUploadHandler

from browline.web.current_book import current_book
from browline.web.readings.imports.slots import Slot, open_slot

if TYPE_CHECKING:
    Uploaded = UploadedFile[bytes]
else:
    Uploaded = UploadedFile


class SlotFile(Uploaded):
    """An uploaded file in its slot. Closed with the request unless somebody keeps the slot."""

    def __init__(self, slot: Slot, name: str, size: int) -> None:
        super().__init__(name=name, size=size)
        self.slot: Slot | None = slot

    def keep(self) -> Slot:
        """Take the slot over; whoever does closes it."""
        slot, self.slot = self.slot, None
        if slot is None:
            raise ValueError("this upload has been taken over or closed")
        return slot

    def close(self) -> None:
        """Forget the upload."""
        if self.slot is not None:
            self.keep().close()


class HeldUploadHandler(FileUploadHandler):
    """Streams one file after another, each into a slot of its own."""

    slot: Slot | None = None

    def new_file(
        self,
        field_name: str,
        file_name: str,
        content_type: str,
        content_length: int | None,
        charset: str | None = None,
        content_type_extra: dict[str, bytes] | None = None,
    ) -> None:
        super().new_file(field_name, file_name, content_type, content_length, charset, content_type_extra)
        self.slot = open_slot(current_book().jobs)

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        """Write the chunk; None tells Django that no other handler needs it."""
        self._open().write(raw_data)

    def file_complete(self, file_size: int) -> SlotFile:
        slot, self.slot = self._open(), None
        return SlotFile(slot, self.file_name or "", file_size)

    def _open(self) -> Slot:
        if self.slot is None:
            raise ValueError("no file has begun")
        return self.slot

    def upload_interrupted(self) -> None:
        if self.slot is not None:
            self.slot.close()
            self.slot = None
