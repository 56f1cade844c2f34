"""Settings for the searched properties of this room: how long an example takes is no matter of theirs."""

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
