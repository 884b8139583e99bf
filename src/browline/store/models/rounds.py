"""Instrument rounds: what was seen of each instrument, when and by whom."""

import uuid

from django.db import models

from browline.store.models.locked import Locked
from browline.store.models.register import Instrument


class Sighting(Locked):
    """What one round found of one instrument: where it was, and whether it was fit to use.

    `state`: present, in-use or not-located. `lens`: clean, cleaned (found dirty and cleaned), dirty. `battery`:
    ok, low, dead, new. An empty word means: not looked at. `key` makes a record sent twice one record.
    """

    key = models.UUIDField(unique=True, default=uuid.uuid4)
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="sightings")
    time = models.DateTimeField()
    ward = models.CharField(max_length=80, blank=True)
    state = models.CharField(max_length=12)
    lens = models.CharField(max_length=8, blank=True)
    mode = models.CharField(max_length=20, blank=True)
    unit = models.CharField(max_length=1, blank=True)
    battery = models.CharField(max_length=8, blank=True)
    how = models.CharField(max_length=8)
    received = models.DateTimeField(auto_now_add=True)
    actor = models.CharField(max_length=80)

    class Meta:
        ordering = ["time", "id"]
