"""The whole home as one checked zip file, and back: into an empty or new home only."""

import io
import json
import os
import shutil
import zipfile
import zlib
from collections.abc import Collection, Iterator
from pathlib import Path, PurePosixPath

from pricing.basis.files import read_bytes, sha256, sync_folder, write_bytes
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.record import months
from pricing.record.store import record_file, snapshot

_LIST = "pricing-backup.json"
_FOLDERS = ("data", "models", "reports")
_MOST_FILES, _MOST_BYTES = 1_000_000, 64 << 30


def backup_bytes(home: Home, damaged: Collection[str] = ()) -> tuple[bytes, int]:
    """(zip bytes, number of files): all of a home with the SHA-256 of each file, at one moment.
    damaged: paths that are left out."""
    made_anew = months.folder_of(home)
    names = [
        path
        for folder in _FOLDERS
        for path in sorted(_files_below(home.path / folder))
        if not _passing(path) and made_anew not in path.parents and str(path) not in damaged
    ]
    if home.settings_file.exists():
        names.append(home.settings_file)
    if not names:
        fix = "name your home with --home"
        raise refused("there is nothing to back up here", fix, file=str(home.path))
    out, digests = io.BytesIO(), {}
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, strict_timestamps=False) as archive:

        def put(name: str, data: bytes) -> None:
            info = zipfile.ZipInfo(name, (2000, 1, 1, 0, 0, 0))
            archive.writestr(info, data, zipfile.ZIP_DEFLATED)

        for path in names:
            data = snapshot(home) if path == record_file(home) else read_bytes(path)
            name = path.relative_to(home.path).as_posix()
            digests[name] = sha256(data)
            put(name, data)
        listed = {"version": 1, "files": digests}
        put(_LIST, json.dumps(listed, sort_keys=True, indent=0).encode())
    return out.getvalue(), len(names)


def _files_below(folder: Path) -> Iterator[Path]:
    """All files below a folder, those in linked folders too, each folder once."""
    seen = set[str]()
    for place, folders, names in os.walk(folder, followlinks=True):
        real = os.path.realpath(place)
        if real in seen:
            folders.clear()
            continue
        seen.add(real)
        yield from (path for name in names if (path := Path(place, name)).is_file())


def _passing(path: Path) -> bool:
    hidden = path.name.startswith(".") and path.name.endswith(".tmp")
    return path.name == "lock" or path.name.endswith("-journal") or hidden


def read_backup(path: Path) -> dict[str, bytes]:
    """Every file of a backup, checked against its SHA-256. Refused where one is not whole."""

    def wrong(what: str = "this is no backup of ours, or it is damaged") -> Refused:
        return refused(what, "use another backup", file=str(path))

    try:
        with zipfile.ZipFile(io.BytesIO(read_bytes(path))) as archive:
            infos = archive.infolist()
            if len(infos) > _MOST_FILES or sum(info.file_size for info in infos) > _MOST_BYTES:
                raise wrong()
            listed = json.loads(archive.read(_LIST))["files"]
            names = sorted(info.filename for info in infos)
            if not isinstance(listed, dict) or sorted([*listed, _LIST]) != names:
                raise wrong()
            found = {}
            for name, digest in listed.items():
                if not _is_inside(name):
                    what = "this backup holds a file that does not belong in a home"
                    raise wrong(f"{what}: {name!r}")
                found[name] = archive.read(name)
                if sha256(found[name]) != digest:
                    raise wrong(f"this backup is damaged: {name} is not as it was")
            return found
    except _NOT_READ as error:
        raise wrong() from error


_NOT_READ = (
    zipfile.BadZipFile, zlib.error, KeyError, ValueError, TypeError, RecursionError,
    NotImplementedError, OSError, EOFError,
)  # fmt: skip


def _is_inside(name: str) -> bool:
    parts = PurePosixPath(name).parts
    plain = "\\" not in name and ":" not in name and not name.startswith("/") and ".." not in parts
    return plain and (name == "pricing.toml" or (len(parts) > 1 and parts[0] in _FOLDERS))


def restore_into(home: Home, files: dict[str, bytes]) -> None:
    """Write a backup into an empty home: into a folder beside it, renamed when all is there."""
    if home.path.exists() and any(home.path.iterdir()):
        what = "this folder is not empty; a restore never writes over anything"
        raise refused(what, "name a new, empty folder with --home", file=str(home.path))
    made = home.path.with_name(f".{home.path.name}.restoring")
    shutil.rmtree(made, ignore_errors=True)  # left by one that was cut off
    try:
        for name, data in files.items():
            write_bytes(made / name, data)
        if home.path.exists():
            home.path.rmdir()
        made.rename(home.path)
        sync_folder(home.path.parent)
    except OSError as error:
        what = f"the backup cannot be written there: {error.strerror or error}"
        raise refused(what, "name another folder with --home", file=str(home.path)) from error
    finally:
        shutil.rmtree(made, ignore_errors=True)
