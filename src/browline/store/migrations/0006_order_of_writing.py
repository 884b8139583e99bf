"""Rows that are only ever added stand in the order in which they were written, not in that of their clocks."""

from django.db import migrations

LATEST_FIRST = ("event", "import", "job", "outcome", "review", "sessionplan")
FIRST_FIRST = ("signin", "secondscore")


class Migration(migrations.Migration):
    """No table changes; only the order in which rows are asked for."""

    dependencies = [("store", "0005_questioned_readings")]

    operations = [
        *(migrations.AlterModelOptions(name, options={"ordering": ["-id"]}) for name in LATEST_FIRST),
        *(migrations.AlterModelOptions(name, options={"ordering": ["id"]}) for name in FIRST_FIRST),
        migrations.AlterModelOptions("pass", options={"ordering": ["-id"], "verbose_name_plural": "passes"}),
    ]
