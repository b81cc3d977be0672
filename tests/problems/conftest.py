"""Hypothesis for the chemistry: examples may take as long as a busy machine needs."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
