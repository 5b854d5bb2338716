"""Passes over a data set's parts on a cluster: each part is read where a worker is, and the sums
are added there as a tree. Optional extra `cluster`.

Dask does the scheduling, moves the sums and does lost work again. The tree is that of `model/fold`,
so that one machine and a cluster of machines alike agree to the last bit; other processors may
round the last bit of a sum of products differently.
"""

import hashlib
import logging
import platform
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from importlib import metadata
from itertools import chain
from pathlib import Path
from typing import Any, TypeVar

from pricing.basis.problems import Refused, refused
from pricing.basis.units import Units
from pricing.basis.version import __version__
from pricing.model.fold import Fold, tree
from pricing.record.months import DataSet, Part, check_file

T = TypeVar("T")
WAIT = 15  # seconds until a scheduler that does not answer is given up
# What must be of one version everywhere: the numbers hang on it
SAME = ("numpy", "scipy", "pyarrow")
INSTALL = "pip install 'mended-pricing[cluster]'"


@contextmanager
def workers(address: str) -> Iterator[Any]:
    """A client of the cluster at `address`, or of this machine for "local". Or Refused."""
    try:
        import dask
        from distributed import Client, LocalCluster
    except ImportError as error:
        raise refused("a cluster needs the extra that is not installed", INSTALL) from error
    # What goes wrong is said in one sentence of ours
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    timeouts, large = "distributed.comm.timeouts.connect", "distributed.admin.large-graph"
    dask.config.set({timeouts: f"{WAIT}s", f"{large}-warning-threshold": "1GB"})
    if address == "local":
        with (
            LocalCluster(threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
            Client(cluster) as client,
        ):
            yield client
        return
    try:
        client = Client(address, timeout=WAIT)
    except (OSError, TimeoutError, ValueError, TypeError) as error:
        fix = "start it (dask scheduler), check address and network, or leave --cluster away"
        raise refused(f"no scheduler answers at {address}", fix) from error
    try:
        _check_versions(client, address)
        yield client
    finally:
        client.close()


def _check_versions(client: Any, address: str) -> None:
    """Every worker has our versions, and there is one. Raises Refused naming the worker."""
    found, mine = client.run(versions, on_error="return"), versions()
    if not found:
        fix = "start some (dask worker ADDRESS) and try again"
        raise refused(f"the scheduler at {address} has no worker", fix)
    for worker, theirs in sorted(found.items()):
        # The error that it met, most often that pricing is not installed there
        if not isinstance(theirs, dict):
            fix = f"install it there as it is here ({INSTALL})"
            raise refused(f"the worker {worker} cannot run pricing: {theirs}", fix)
        other = [
            f"{name} {theirs.get(name, 'missing')} (here {version})"
            for name, version in mine.items()
            if theirs.get(name) != version
        ]
        if other:
            fix = "install the same versions on every worker as on this machine"
            raise refused(f"the worker {worker} has another version: {', '.join(other)}", fix)


def versions() -> dict[str, str]:
    """Versions of what the numbers hang on; of our own code the SHA-256 too."""
    found = {"python": ".".join(platform.python_version_tuple()[:2])}
    for name in SAME:
        try:
            found[name] = metadata.version(name)
        except metadata.PackageNotFoundError:
            found[name] = "missing"
    found["pricing"] = f"{__version__} ({_code()[:8]})"
    return found


def _code() -> str:
    """SHA-256 over the program's own files."""
    folder = Path(__file__).parents[1]
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.py")):
        digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
        digest.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def fold_on(
    client: Any,
    parts: Sequence[Part],
    read: Callable[[Part], Units],
    tell: Callable[[int], None] = lambda done: None,
) -> Fold:
    """Passes over the parts on the workers of a client. read: a pure function that can be sent to a
    worker; tell: called with the parts done."""
    passes = 0

    def fold(of: Callable[[Units], T], add: Callable[[T, T], T]) -> T:
        from dask.delayed import delayed

        nonlocal passes
        if not parts:
            return of(Units(0, {}, {}))
        # sent once as a value of the graph, so that it is there again after a worker is lost
        work, join = delayed((of, read), traverse=False), delayed(add, traverse=False)
        read_each, added = delayed(_apply, pure=False), delayed(_add, pure=False)
        whole = tree((read_each(work, part) for part in parts), partial(added, join))
        total: T = _result(client, whole)
        passes += 1
        tell(passes * len(parts))
        return total

    return fold


def _apply(work: tuple[Callable[[Units], Any], Callable[[Part], Units]], part: Part) -> Any:
    """What a worker does with a part."""
    of, read = work
    return of(read(part))


def _add(join: Callable[[Any, Any], Any], first: Any, second: Any) -> Any:
    return join(first, second)


def map_on(client: Any, function: Callable[[Any], T], items: Sequence[Any]) -> list[T]:
    """A function of each item, on the workers."""
    from dask.delayed import delayed

    each = delayed(function, pure=False)
    return _result(client, delayed(list)([each(item) for item in items]))


def _result(client: Any, wanted: Any) -> Any:
    """The value of a graph; what goes wrong with the cluster is refused in one sentence."""
    from concurrent.futures import CancelledError

    from distributed import KilledWorker
    from distributed.comm.core import CommClosedError

    try:
        return client.compute(wanted).result()
    except Refused:
        raise
    except KilledWorker as error:
        raise refused(
            "workers died again and again over the same part of the data",
            "give each worker more memory, or start fewer on one machine",
        ) from error
    except (CancelledError, CommClosedError, OSError, TimeoutError) as error:
        raise refused(
            "the cluster went away before the fit was done",
            "start it again and repeat the fit; the record and the numbers are as they were",
        ) from error


def check(client: Any, found: DataSet) -> None:
    """Every file is seen by the workers and as it was written. Raises Refused naming the others."""
    told = map_on(client, partial(check_file, found.where), found.files)
    if problems := list(chain.from_iterable(told)):
        raise Refused(*problems[:5])
