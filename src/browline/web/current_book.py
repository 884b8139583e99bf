"""Which book the pages show: the one this process has opened."""

from pathlib import Path

from django.conf import settings

from browline.store.folder import Book
from browline.store.models import Setting


def current_book() -> Book:
    """The open book, read from where Django keeps its records."""
    records = Path(settings.DATABASES["default"]["NAME"])
    return Book(records.parent, Setting.objects.get(key="book-id").value)
