"""Properties are tried without a deadline: a machine that is busy is no fault."""

from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.load_profile("house")
