"""Helpers stand beside the tests, where any of them can import them.

The examples of the laws are the same on every run, so that a red run is red for whoever looks at it; the nightly run
(`pytest -m nightly --hypothesis-profile=nightly`) looks for new ones.
"""

from hypothesis import HealthCheck, settings

settings.register_profile("same", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("nightly", deadline=None, max_examples=2_000, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("same")
