"""One fit at a time in a folder, by the system's own lock: a killed one leaves none behind."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pricing.basis.files import make_folder
from pricing.basis.problems import refused

PATIENCE = 10.0  # seconds that a second one waits


@contextmanager
def holding(folder: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Hold a folder. Raises Refused where it stays held past `patience`, or cannot be written."""
    make_folder(folder)
    path = folder / "lock"
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
    except OSError as error:
        fix = "make the folder writable, or use another one with --home"
        what = f"this folder cannot be written: {error.strerror}"
        raise refused(what, fix, file=str(path)) from error
    try:
        until = time.monotonic() + patience
        while not _take(handle):
            if time.monotonic() > until:
                what = "this is busy: another program is learning from the record"
                fix = "wait until it is done, then run this again; nothing was changed"
                raise refused(what, fix, file=str(path))
            time.sleep(0.05)
        yield
    finally:
        os.close(handle)  # which gives the lock back too


def _take(handle: int) -> bool:
    try:
        if os.name == "nt":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
