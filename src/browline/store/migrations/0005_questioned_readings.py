"""A log of questioned readings, and lines of it taken back."""

import uuid

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """Two locked tables."""

    dependencies = [
        ("store", "0004_session_open_until"),
    ]

    operations = [
        migrations.CreateModel(
            name="QuestionedReading",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.UUIDField(default=uuid.uuid4, unique=True)),
                ("week", models.DateField()),
                ("part", models.CharField(blank=True, max_length=12)),
                ("ward", models.CharField(blank=True, max_length=80)),
                ("age", models.CharField(blank=True, max_length=24)),
                ("values", models.JSONField()),
                ("accepted", models.PositiveSmallIntegerField(null=True)),
                ("cause", models.CharField(max_length=12)),
                ("others", models.JSONField(default=list)),
                ("done", models.JSONField(default=list)),
                ("actor", models.CharField(max_length=80)),
            ],
            options={
                "ordering": ["week", "id"],
            },
        ),
        migrations.CreateModel(
            name="QuestionedTakenBack",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("reason", models.CharField(max_length=12)),
                ("actor", models.CharField(max_length=80)),
                (
                    "line",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="taken_back",
                        to="store.questionedreading",
                    ),
                ),
            ],
            options={
                "ordering": ["id"],
            },
        ),
    ]
