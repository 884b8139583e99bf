"""A book: one folder with the records, the readings, and nothing else that matters.

    book.sqlite3          records (Django)
    readings/*.parquet    immutable readings, one file an import
    jobs/                 locks and uploads of work under way, owner only
    reports/              what was written for others

Opening compares the schema with this version of browline, copies the records before changing them, and
refuses a book made by a newer version, or one that lost its records (`lost`).
"""

import os
import sqlite3
import uuid
from contextlib import closing
from pathlib import Path

from browline.errors import InputRefused
from browline.store.advised_anew import advise_anew
from browline.store.folder import Book
from browline.store.judged_anew import judge_anew
from browline.store.keys import make_key
from browline.store.lost import RECORDS, refuse_lost_records
from browline.store.models import Setting


def default_folder() -> Path:
    """Where a book lies when no folder is given: `BROWLINE_BOOK`, else the platform's data folder."""
    chosen = os.environ.get("BROWLINE_BOOK")
    if chosen:
        return Path(chosen)
    from platformdirs import user_data_path

    return user_data_path("browline", appauthor=False) / "book"


def begun(folder: Path) -> bool:
    """Whether a book is already there; refuses one that lost its records."""
    refuse_lost_records(folder.expanduser())
    return (folder.expanduser() / RECORDS).exists()


def existing_book(folder: Path) -> Path:
    """The folder of a book that is already there; refuses one that holds none, so that a slip makes no new book."""
    if not begun(folder):
        raise InputRefused(
            f"There is no book in {folder}.",
            "A book begins with the first import.",
            "Check --book DIR, or import a file into it.",
        )
    return folder


def open_book(folder: Path) -> Book:
    """Open the book in `folder`, making it where there is none, and point Django at its records."""
    folder = folder.expanduser().resolve()
    _close_records()
    refuse_lost_records(folder)
    _make_folders(folder)
    _point_django_at(folder / RECORDS)
    _bring_schema_up_to_date(folder / RECORDS)
    opened = Book(folder, _identity())
    _take_back(opened)
    return opened


def _close_records() -> None:
    # Closing any other handle on the records would drop the locks of a connection open in this process.
    from django.apps import apps
    from django.db import connections

    if apps.ready:
        connections["default"].close()


def _make_folders(folder: Path) -> None:
    try:
        for part in (folder, folder / "readings", folder / "jobs", folder / "reports"):
            part.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as fault:
        raise InputRefused(
            f"The folder {folder} cannot be made or written ({fault.strerror}).",
            "A book needs a folder of its own that you may write to.",
            "Choose another with --book DIR.",
        ) from fault


def _point_django_at(records: Path) -> None:
    import django
    from django.conf import settings
    from django.db import connections

    settings.DATABASES["default"]["NAME"] = str(records)
    django.setup()
    connections["default"].close()
    connections["default"].settings_dict["NAME"] = str(records)
    settings.FILE_UPLOAD_TEMP_DIR = str(records.parent / "jobs")


def _bring_schema_up_to_date(records: Path) -> None:
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.loader import MigrationLoader
    from django.db.migrations.recorder import MigrationRecorder

    applied = set(MigrationRecorder(connection).applied_migrations())
    known = set(MigrationLoader(connection).disk_migrations)
    newer = sorted(name for app, name in applied - known if app == "store")
    if newer:
        raise InputRefused(
            f"This book was made by a newer browline (it has {newer[-1]}).",
            "An older version could damage it, so it was not opened.",
            "Install the newer browline, or open a copy made before the change.",
        )
    if applied >= known:
        return
    if applied:
        _copy(records, records.with_name(f"book-before-{len(applied)}.sqlite3"))
    call_command("migrate", verbosity=0, interactive=False)
    records.chmod(0o600)


def _take_back(opened: Book) -> None:
    """What an earlier version should not have said does not stand when its book is opened."""
    judge_anew(opened)
    advise_anew()


def _copy(records: Path, copy: Path) -> None:
    # A plain file copy could miss what still stands in the write-ahead log.
    with closing(sqlite3.connect(records)) as source, closing(sqlite3.connect(copy)) as target:
        source.backup(target)


def _identity() -> str:
    from django.conf import settings
    from django.db import transaction

    with transaction.atomic():
        setting = Setting.objects.filter(key="book-id").first()
        if setting is None:
            identity = uuid.uuid4().hex
            make_key(identity)
            setting = Setting.objects.create(key="book-id", value=identity)
            Setting.objects.create(key="page-secret", value=uuid.uuid4().hex + uuid.uuid4().hex)
    settings.SECRET_KEY = Setting.objects.get(key="page-secret").value
    return str(setting.value)
