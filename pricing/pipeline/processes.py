"""Passes over a long record by several processes of this machine; the sums are added here, as one process would add them."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import partial
from typing import Any, TypeVar

from pricing.ledger.months import Part
from pricing.model.fold import Fold, over, tree
from pricing.records.units import Units

T = TypeVar("T")
LONG = 200_000  # rows from which starting other processes pays
MOST = 4  # processes; each needs about 350 MiB whatever the number of rows


@contextmanager
def fold_over(parts: Sequence[Part], read: Callable[[Part], Units], tell: Callable[[int], None]) -> Iterator[Fold]:
    """Passes over the parts, read anew each time. tell: called with how many were gone through, all passes together.

    Where the processes cannot be had, or one is killed, the pass is done again in this one.
    """
    here = _InTurn(parts, read, tell)
    n = min(_cores(), MOST, len(parts))
    if n < 2 or sum(part.rows for part in parts) < LONG:
        yield over(here)
        return
    with ProcessPoolExecutor(n, mp_context=multiprocessing.get_context("spawn"), initializer=_calm) as pool:

        def fold(of: Callable[[Units], T], add: Callable[[T, T], T]) -> T:
            begun = here.done
            try:
                total = tree(here.counted(pool.map(partial(_apply, of, read), parts)), add)
            except (BrokenProcessPool, OSError):
                here.done = begun
                return over(here)(of, add)
            return of(Units(0, {}, {})) if total is None else total

        yield fold


def _cores() -> int:
    """The processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _calm() -> None:
    """Ctrl-C is for the process that the person started; it ends the others."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _apply(of: Callable[[Units], Any], read: Callable[[Part], Units], part: Part) -> Any:
    return of(read(part))


class _InTurn:
    """Parts read one after the other, each time they are gone through."""

    def __init__(self, parts: Sequence[Part], read: Callable[[Part], Units], tell: Callable[[int], None]) -> None:
        self.parts, self.read, self.tell, self.done = parts, read, tell, 0

    def __iter__(self) -> Iterator[Units]:
        return self.counted(map(self.read, self.parts))

    def counted(self, results: Iterator[T]) -> Iterator[T]:
        for one in results:
            yield one
            self.done += 1
            self.tell(self.done)
