"""A table more: wrong codes, which were counted in memory before."""

from django.db import migrations, models


class Migration(migrations.Migration):
    """Nothing that stands is touched."""

    dependencies = [("store", "0007_documents_read_again")]

    operations = [
        migrations.CreateModel(
            name="WrongCode",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("source", models.CharField(max_length=64)),
                ("at", models.DateTimeField()),
            ],
            options={
                "ordering": ["id"],
                "indexes": [models.Index(fields=["source", "at"], name="wrong_codes_of_a_source")],
            },
        ),
    ]
