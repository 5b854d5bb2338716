"""The one way to write a file: a temporary file beside it, fsync, rename, fsync of the folder.

After a kill, a full disk or a power cut a reader finds the old file or the new one, never a part.
Rename replaces atomically on POSIX; on Windows it fails while another program holds the file open,
so it is tried again for half a second and then named. No module but this one opens a file for
writing.
"""

import contextlib
import hashlib
import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any, BinaryIO

from pricing.basis.problems import Problem, Refused, refused


def sha256(data: bytes) -> str:
    """Hex SHA-256 of `data`.

    >>> sha256(b"")[:8]
    'e3b0c442'
    """
    return hashlib.sha256(data).hexdigest()


def sync_folder(folder: Path) -> None:
    """Make a rename in `folder` durable; skipped on Windows, where a folder cannot be synced."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def make_folder(folder: Path) -> None:
    """Create `folder` and its parents durably; a sentence where that cannot be done."""
    try:
        if not folder.is_dir():
            # A name lasts only when the folder above it is synced, for each folder that is new.
            if folder.parent != folder:
                make_folder(folder.parent)
            folder.mkdir(exist_ok=True)
            sync_folder(folder.parent)
    except OSError as error:
        raise Refused(_cannot_write(folder, error)) from error


def write_bytes(path: Path, data: bytes, *, replace: bool = True) -> None:
    """Write `data` to `path` whole or not at all. replace: False claims a new name: FileExistsError
    where it is taken, so that two writers never share one. Raises Refused with the way out where
    the disk is full, the folder is read-only or the file is held open."""
    make_folder(path.parent)
    temporary = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        with open(temporary, "wb") as handle:
            handle.write(data)
            handle.flush()
            os.fsync(handle.fileno())
        if replace:
            _rename(temporary, path)
        else:
            _claim(temporary, path)
        sync_folder(path.parent)
    except FileExistsError:
        raise
    except OSError as error:
        raise Refused(_cannot_write(path, error)) from error
    finally:
        temporary.unlink(missing_ok=True)


class Writing:
    """A file in the making, written piece by piece; `digest`: SHA-256 of what was written so far.
    Set `keep` to False and it is gone when the block ends; `path`, the name it gets, may change."""

    def __init__(self, handle: BinaryIO, path: Path) -> None:
        self._handle, self._sha, self.size = handle, hashlib.sha256(), 0
        self.keep, self.path, self.closed = True, path, False

    def write(self, data: Any) -> int:
        self._sha.update(data)
        self.size += len(data)
        return self._handle.write(data)

    def flush(self) -> None:
        self._handle.flush()

    def close(self) -> None:
        """Nothing to do: the block's end closes the file. Writers of formats call it."""

    def tell(self) -> int:
        return self.size

    @property
    def digest(self) -> str:
        return self._sha.hexdigest()


@contextlib.contextmanager
def writing(path: Path, *, replace: bool = False) -> Iterator[Writing]:
    """Write a new file piece by piece; it gets its name when the block ends well, and is gone
    otherwise. replace: False raises FileExistsError at the end where the name is taken."""
    make_folder(path.parent)
    temporary = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        with open(temporary, "wb") as handle:
            out = Writing(handle, path)
            yield out
            handle.flush()
            os.fsync(handle.fileno())
        if out.keep:
            (_rename if replace else _claim)(temporary, out.path)
            sync_folder(path.parent)
    except FileExistsError:
        raise
    except OSError as error:
        raise Refused(_cannot_write(path, error)) from error
    finally:
        temporary.unlink(missing_ok=True)


def copy_by_content(source: Path, folder: Path, ending: str) -> tuple[str, int, Path]:
    """Copy a file under its SHA-256 into `folder`, once, and again where what was kept is not as
    its name says; returns (SHA-256, bytes, path)."""
    try:
        with open(source, "rb") as handle, writing(folder / "original", replace=True) as out:
            while data := handle.read(1 << 20):
                out.write(data)
            out.path = folder / f"{out.digest}{ending}"
            out.keep = not out.path.exists() or sha256(out.path.read_bytes()) != out.digest
    except OSError as error:
        what = f"this file cannot be read: {error.strerror}"
        fix = "check the disk, or copy the file elsewhere"
        raise refused(what, fix, file=str(source)) from error
    return out.digest, out.size, out.path


def write_text(path: Path, text: str, *, replace: bool = True) -> None:
    """`write_bytes` of UTF-8 text, line ends as given."""
    write_bytes(path, text.encode("utf-8"), replace=replace)


def read_bytes(path: Path) -> bytes:
    """The bytes of `path`; a sentence with the way out where it cannot be read."""
    try:
        return path.read_bytes()
    except OSError as error:
        what = f"this file cannot be read: {error.strerror or error}"
        fix = "check the disk, or copy the file elsewhere"
        if isinstance(error, FileNotFoundError):
            what, fix = "there is no such file", "check the name and the folder"
        elif path.is_dir():  # Windows says "permission denied" of a folder
            what, fix = "this is a folder, not a file", "name a file inside it"
        elif isinstance(error, PermissionError):
            what = "you are not allowed to read this file"
            fix = "change its permissions, or copy it to a folder of your own"
        raise refused(what, fix, file=str(path)) from error


def _rename(temporary: Path, path: Path) -> None:
    for attempt in range(10):
        try:
            os.replace(temporary, path)
            return
        except PermissionError:
            if os.name != "nt" or attempt == 9:
                raise
            time.sleep(0.05)


def _claim(temporary: Path, path: Path) -> None:
    """Give the file a name that nobody has: a hard link fails where the name is taken."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # no hard links on this file system
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        _rename(temporary, path)


def _cannot_write(path: Path, error: OSError) -> Problem:
    reason = error.strerror or str(error)
    fixes = {
        13: "make the folder writable, or use another one with --home",
        28: "free some space on the disk, then try again; nothing was changed",
        30: "the disk is read-only: use another folder with --home",
    }
    other = "close it in other programs and check the disk; nothing was changed"
    fix = fixes.get(error.errno or 0, other)
    return Problem(f"this file cannot be written: {reason}", fix, file=str(path))
