"""Studies that keep a book need Django set up before its records are imported."""

from browline.settings.launch import set_up_django

set_up_django()
