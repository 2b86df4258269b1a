"""How many examples a law is tried on: the same few in every run, fresh ones and many in the nightly run."""

from hypothesis import HealthCheck, settings

NIGHTLY = "nightly"
MANY = 40
"""How many times as many examples the nightly run draws."""

settings.register_profile("same", derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
settings.register_profile(NIGHTLY, derandomize=False, deadline=None, suppress_health_check=list(HealthCheck))


def is_nightly() -> bool:
    """Return whether this is the nightly run."""
    return settings.get_current_profile_name() == NIGHTLY


def law(examples: int) -> settings:
    """Return the settings of a law that is tried on so many examples, `MANY` times as many in the nightly run."""
    return settings(settings.default, max_examples=examples * (MANY if is_nightly() else 1))
