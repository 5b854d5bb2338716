"""One writer at a time; readers need no lock. The lock is the system's own on an open file, so a
killed writer leaves none behind."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pricing.basis.files import make_folder
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused

PATIENCE = 10.0  # seconds that a second writer waits


def lock_file(home: Home) -> Path:
    return home.data / "lock"


@contextmanager
def writing(home: Home, patience: float = PATIENCE, folder: Path | None = None) -> Iterator[None]:
    """Hold the record, or another folder of the home, for writing. Raises Refused where another
    program holds it for longer than `patience`, or the home is read-only."""
    make_folder(folder or home.data)
    path = folder / "lock" if folder else lock_file(home)
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
    except OSError as error:
        fix = (
            "make the folder writable, or use another one with --home"
            if not path.is_symlink()
            else "remove that link: it is not ours"
        )
        raise Refused(
            Problem(
                f"the record cannot be opened for writing: {error.strerror}", fix, file=str(path)
            )
        ) from error
    try:
        until = time.monotonic() + patience
        while not _take(handle):
            if time.monotonic() > until:
                raise Refused(
                    Problem(
                        "the record is busy: another program is adding to it",
                        "wait until it is done, then run this again; nothing was changed",
                        file=str(path),
                    )
                )
            time.sleep(0.05)
        try:
            yield
        finally:
            _release(handle)
    finally:
        os.close(handle)


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


def _release(handle: int) -> None:
    if os.name == "nt":
        import msvcrt

        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined]
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_UN)
