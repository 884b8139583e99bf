"""Tells Django where the records live."""

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """The records of one book."""

    name = "browline.store"
    label = "store"
    default_auto_field = "django.db.models.BigAutoField"
