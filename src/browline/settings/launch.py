"""Setting Django up, once a process, before anything that keeps records is imported."""

import os


def set_up_django() -> None:
    """Point Django at our settings, unless the environment names others, and load the records' models."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "browline.settings.base")
    import django

    django.setup()
