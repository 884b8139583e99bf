"""An invented hospital: charted temperatures as a ward's system would export them, with known faults.

    charted = habits( round( site(level + rhythm + course + fever) + instrument + person + ward + error ) )

`invent` is the gesture; the tables are what she would be given, the truth is what was planted, the latent
arrays are every part of every reading. Nobody in it exists.

>>> hospital = invent(3000, seed=2)
>>> sorted(hospital.tables)
['checks', 'cleanings', 'events', 'instruments', 'people', 'readings', 'sessions']
"""

from browline.synthetic.csvtext import csv_chunks
from browline.synthetic.faults import Fault, default_faults
from browline.synthetic.inventing import Hospital, invent, readings_of
from browline.synthetic.reading import Latent
from browline.synthetic.scale import Scale, read_scale
from browline.synthetic.upcoming import upcoming_roster

__all__ = [
    "Fault",
    "Hospital",
    "Latent",
    "Scale",
    "csv_chunks",
    "default_faults",
    "invent",
    "read_scale",
    "readings_of",
    "upcoming_roster",
]
