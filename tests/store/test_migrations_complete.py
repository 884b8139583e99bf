"""The records' schema on disk is the one the models say: no change without its migration."""

from io import StringIO

from django.core.management import call_command


def test_no_model_has_changed_without_a_migration(book):
    said = StringIO()
    call_command("makemigrations", "store", "--check", "--dry-run", stdout=said)
    assert "No changes detected" in said.getvalue()
