"""Controlled documents: what is handed out, asked and answered; every version kept, the latest in force."""

from django.db import models

from browline.store.models.locked import Locked


class ControlledDocument(Locked):
    """One version of one document. It is a DRAFT until owner, source, approval and expiry are all there.

    `kind` names the document (checklist, pocket-card, site-and-cover, class-questions, common-errors, ...);
    `body` is what it says, in the shape that its room checks.
    """

    kind = models.CharField(max_length=40)
    version = models.PositiveIntegerField()
    body = models.JSONField()
    owner = models.CharField(max_length=120, blank=True)
    source = models.CharField(max_length=300, blank=True)
    approved = models.DateField(null=True)
    expires = models.DateField(null=True)
    made = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["kind", "-version"]
        constraints = [models.UniqueConstraint(fields=["kind", "version"], name="one_version_once")]

    @property
    def draft(self) -> bool:
        """Whether something is missing that a document in use must have."""
        return not (self.owner and self.source and self.approved and self.expires)
