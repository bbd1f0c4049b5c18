"""No test may fail for being slow on a busy machine: random examples have no deadline."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
