"""Taking back what an import did: the whole of it, or one kind of repair; and letting a repair count again."""

from browline.columns import IMPORT_KINDS
from browline.errors import NotUnderstood
from browline.store.models import Event, Import, UndoneRepair


def undo_import(import_id: int, actor: str) -> None:
    """Take a whole import of readings back; its file stays until nothing names it."""
    from django.db import transaction
    from django.utils import timezone

    with transaction.atomic():
        reversible = [row.id for row in IMPORT_KINDS.values() if row.reversible]
        changed = Import.objects.filter(pk=import_id, kind__in=reversible, undone=None).update(
            undone=timezone.now()
        )
        if not changed:
            raise NotUnderstood(
                "This import cannot be taken back.",
                "Only readings that are in force can; register entries are edited on their own pages.",
                "Choose another import.",
            )
        Event.objects.create(actor=actor, verb="undo-import", subject=str(import_id))


def undo_repair(import_id: int, code: str, actor: str) -> None:
    """Take one kind of repair back for an import: its rows no longer count as readings."""
    from django.db import transaction

    with transaction.atomic():
        source = Import.objects.get(pk=import_id)
        if not any(r["role"] == "repair" and r["code"] == code for r in source.reasons):
            raise NotUnderstood(
                f"Import {import_id} has no repair {code!r}.",
                "Only a repair that was made can go.",
                "Look at its receipt.",
            )
        UndoneRepair.objects.get_or_create(source=source, code=code)
        Event.objects.create(actor=actor, verb="undo-repair", subject=str(import_id), data={"code": code})


def restore_repair(import_id: int, code: str, actor: str) -> None:
    """Make a repair count again that was taken back."""
    from django.db import transaction

    with transaction.atomic():
        UndoneRepair.objects.filter(source_id=import_id, code=code).delete()
        Event.objects.create(actor=actor, verb="restore-repair", subject=str(import_id), data={"code": code})
