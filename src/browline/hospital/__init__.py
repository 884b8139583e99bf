"""An invented hospital: charted temperatures as a ward's system would export them, with known faults.

    charted = habits( round( site(level + rhythm + course + fever) + instrument + person + ward + error ) )

`invent` is the gesture; the tables are what she would be given, the truth is what was planted, the latent
arrays are every part of every reading. Nobody in it exists.

>>> hospital = invent(3000, seed=2)
>>> sorted(hospital.tables)
['checks', 'cleanings', 'events', 'instruments', 'people', 'readings', 'sessions']
"""

from browline.hospital.csvtext import csv_chunks
from browline.hospital.faults import Fault, default_faults
from browline.hospital.inventing import Hospital, invent, readings_of
from browline.hospital.reading import Latent
from browline.hospital.scale import Scale, scale_of
from browline.hospital.upcoming import upcoming_roster

__all__ = [
    "Fault",
    "Hospital",
    "Latent",
    "Scale",
    "csv_chunks",
    "default_faults",
    "invent",
    "readings_of",
    "scale_of",
    "upcoming_roster",
]
