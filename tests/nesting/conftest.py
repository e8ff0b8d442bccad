"""Properties are judged by their result: how long one example takes tells only how busy the machine is."""

from hypothesis import settings

settings.register_profile("unhurried", deadline=None, max_examples=60)
settings.load_profile("unhurried")
