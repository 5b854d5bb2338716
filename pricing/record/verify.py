"""Is every stored file whole? The record by SQLite's check and row checksums, others by SHA-256."""

import io
import json
import os
import shutil
import sqlite3
import zipfile
import zlib
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from pricing.basis.files import read_bytes, sha256, sync_folder, write_bytes
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused, refused
from pricing.record import ad_rows, entries, months
from pricing.record.current import Reader, newest_rows, no_collecting
from pricing.record.entries import Entry
from pricing.record.rows import checksum
from pricing.record.store import (
    CELLS,
    TABLES,
    damaged,
    has_record,
    other_copies,
    reading,
    record_file,
    snapshot,
)

_RESTORE = "restore your last backup (pricing restore)"


@dataclass(frozen=True)
class Checked:
    """damaged: files not as written, or missing; foreign: not ours; copies: of the record."""

    damaged: tuple[Problem, ...]
    foreign: tuple[Path, ...]
    copies: tuple[Path, ...]
    n_files: int


def verify_record(home: Home) -> Checked:
    """Check the record, the originals and the data set by month."""
    problems: list[Problem] = []
    copies = other_copies(home)
    record = record_file(home)
    journal = record.with_name(record.name + "-journal")
    ours = {record, journal, *copies}
    n_files = 0
    acts: Sequence[Entry] = ()
    try:
        if has_record(home):
            n_files += 1
            acts = _checked(home)
    except Refused as refusal:
        problems += refusal.problems
        n_files = 1
    for path, problem in _originals(home, acts):
        if path in ours:  # two acts of one original share its file
            continue
        ours.add(path)
        n_files += 1
        if problem is not None:
            problems.append(problem)
    for path, found in months.stored(home):
        ours.add(path)
        n_files += 1
        problems += found
    return Checked(tuple(problems), tuple(_foreign(home, ours)), tuple(copies), n_files)


def _checked(home: Home) -> tuple[Entry, ...]:
    """The acts of a record of which every page and row is as written. Raises Refused otherwise."""
    refusal = Refused(damaged(record_file(home)))
    with reading(home) as db:
        if [row[0] for row in db.execute("pragma integrity_check(3)")] != ["ok"]:
            raise refusal
        if db.execute("pragma foreign_key_check").fetchone() is not None:
            raise refusal
        made = [row[0] for row in db.execute("select sql from sqlite_master where sql is not null")]
        tables = (*TABLES, ad_rows.TABLE) if ad_rows.has_table(db) else TABLES
        if sorted(map(_squashed, made)) != sorted(map(_squashed, tables)):
            raise refusal
        ledger = entries.of(db, home)
        newest_rows(db, home, ledger)
        reader = Reader(CELLS)
        with no_collecting():
            for row in db.execute(f"select {reader.columns} from state not indexed"):
                if not reader.is_whole(row):
                    raise refusal
        said_again = dict(db.execute("select source, count(*) from again group by source"))
        if said_again != {act.number: act.again for act in ledger.entries if act.again}:
            raise refusal
        for table in ("remark", "shape"):
            if not all(checksum(*row[:-1]) == row[-1] for row in _all(db, table)):
                raise refusal
    entries.shapes_of(home)
    ad_rows.read(home)
    return ledger.entries


def _squashed(sql: str) -> str:
    return " ".join(sql.split()).casefold()


def _all(db: sqlite3.Connection, table: str) -> Iterator[tuple[object, ...]]:
    return iter(db.execute(f"select * from {table}"))


def _originals(home: Home, acts: Sequence[Entry]) -> Iterator[tuple[Path, Problem | None]]:
    """The originals of acts, and of adds that were killed, by their SHA-256; what is wrong."""
    folder = home.data / "originals"
    for act in acts:
        path = folder / act.original
        if act.original and not path.exists():
            yield path, Problem("this file is missing", _RESTORE, file=str(path))
    what = "this original is damaged: it is not as it was given"
    for path in sorted(folder.glob("*")) if folder.is_dir() else ():
        if len(path.stem) == 64:
            whole = sha256(read_bytes(path)) == path.stem
            yield path, None if whole else Problem(what, "add the file itself again", str(path))


def _foreign(home: Home, ours: set[Path]) -> Iterator[Path]:
    if not home.data.is_dir():
        return
    for path in sorted(home.data.rglob("*")):
        if (
            path.is_file()
            and path not in ours
            and path.name not in (".gitignore", "README.md")
            and path.relative_to(home.data).parts[0] != "demo"
            and not (path.name.startswith(".") and path.name.endswith(".tmp"))
        ):
            yield path


# ---- the whole home as one checked zip file, and back: into an empty or new home only
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
