"""A session may be opened again for signing in."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """One moment more on a session."""

    dependencies = [("store", "0003_teaching")]

    operations = [
        migrations.AddField(model_name="session", name="open_until", field=models.DateTimeField(null=True)),
    ]
