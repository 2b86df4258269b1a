"""A Dask cluster as an executor: what the extra `stepcheck[cluster]` is for."""

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager

from stepcheck.model.source import StepcheckError

PATIENCE = 10  # seconds


class NoCluster(StepcheckError, OSError):
    """The cluster cannot be reached, or `distributed` is not installed."""


@contextmanager
def connected(address: str) -> Iterator[Executor]:
    """Yield an executor that hands everything to the cluster whose scheduler is at `address`.

    A worker that dies harms nothing: the scheduler gives what it had to another.

    Raises:
        NoCluster: there is none.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise NoCluster("a cluster needs more packages: install stepcheck[cluster]") from error
    try:
        client = Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as error:
        raise NoCluster(f"there is no scheduler at {address}: {error}") from error
    with client:
        yield client.get_executor(pure=False)
