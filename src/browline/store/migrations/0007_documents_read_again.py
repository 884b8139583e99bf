"""Every approved document goes back to DRAFT, to be read again: nobody was shown the lines that were changed."""

from typing import Any

from django.db import migrations, models

WHY = "It was approved before every changed line was shown beside the old one."


def say_so(apps: Any, schema_editor: Any) -> None:
    """The versions stay as they are; an event of each says that it is to be read again, and why."""
    documents = apps.get_model("store", "ControlledDocument").objects
    approved = (
        documents.exclude(owner="").exclude(source="").filter(approved__isnull=False, expires__isnull=False)
    )
    for one in approved.order_by("kind", "version"):
        apps.get_model("store", "Event").objects.create(
            actor="browline", verb="read-again", subject=one.kind, data={"version": one.version, "why": WHY}
        )


class Migration(migrations.Migration):
    """A column more, empty in every version there is."""

    dependencies = [("store", "0006_order_of_writing")]

    operations = [
        migrations.AddField("controlleddocument", "seen", models.JSONField(null=True)),
        migrations.RunPython(say_so, migrations.RunPython.noop),
    ]
