"""Controlled documents: what is handed out, asked and answered; every version kept, the latest in force."""

from django.db import models

from browline.store.models.locked import Locked


class ControlledDocument(Locked):
    """One version of one document. It is a DRAFT until owner, source, approval and expiry are all there, and `seen`.

    `kind` names the document (checklist, pocket-card, site-and-cover, class-questions, common-errors, ...);
    `body` is what it says, in the shape that its room checks. `seen`: the lines that whoever approved it was shown
    beside the old ones; None: nobody was, as in every version approved before lines were shown.
    """

    kind = models.CharField(max_length=40)
    version = models.PositiveIntegerField()
    body = models.JSONField()
    owner = models.CharField(max_length=120, blank=True)
    source = models.CharField(max_length=300, blank=True)
    approved = models.DateField(null=True)
    expires = models.DateField(null=True)
    seen = models.JSONField(null=True)
    made = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["kind", "-version"]
        constraints = [models.UniqueConstraint(fields=["kind", "version"], name="one_version_once")]

    @property
    def draft(self) -> bool:
        """Whether something is missing that a document in use must have."""
        return not self.filled or self.seen is None

    @property
    def filled(self) -> bool:
        """Whether owner, source, approval and expiry are all there."""
        return bool(self.owner and self.source and self.approved and self.expires)

    @property
    def read_again(self) -> bool:
        """Whether it was approved before lines were shown, so that it is a DRAFT to be read again."""
        return self.filled and self.seen is None
