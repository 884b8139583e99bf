"""Taking back what an import did: the whole of it, or one kind of repair; and letting a repair count again."""

from django.utils import timezone

from browline.columns import IMPORT_KINDS
from browline.errors import NotUnderstood
from browline.store.event_log import recorded
from browline.store.models import Import, UndoneRepair


def undo_import(import_id: int, actor: str) -> None:
    """Take a whole import of readings back; its file stays until nothing names it."""
    reversible = [row.id for row in IMPORT_KINDS.values() if row.reversible]
    with recorded(actor, "undo-import", import_id):
        in_force = Import.objects.in_force().filter(pk=import_id, kind__in=reversible)
        if not in_force.update(undone=timezone.now()):
            raise NotUnderstood(
                "This import cannot be taken back.",
                "Only readings that are in force can; register entries are edited on their own pages.",
                "Choose another import.",
            )


def undo_repair(import_id: int, code: str, actor: str) -> None:
    """Take one kind of repair back for an import: its rows no longer count as readings."""
    with recorded(actor, "undo-repair", import_id, {"code": code}):
        source = Import.objects.get(pk=import_id)
        if not any(r["role"] == "repair" and r["code"] == code for r in source.reasons):
            raise NotUnderstood(
                f"Import {import_id} has no repair {code!r}.",
                "Only a repair that was made can go.",
                "Look at its receipt.",
            )
        UndoneRepair.objects.get_or_create(source=source, code=code)


def restore_repair(import_id: int, code: str, actor: str) -> None:
    """Make a repair count again that was taken back."""
    with recorded(actor, "restore-repair", import_id, {"code": code}):
        UndoneRepair.objects.filter(source_id=import_id, code=code).delete()
