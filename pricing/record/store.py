"""The record on disk: one SQLite file, `data/record.db`, that any reader of SQLite opens.

Rows of `state` are never changed: each says all that was known of a unit after one act, and the
newest that counts wins. `source` holds the acts in their order: a sheet or a press, a drop, an
undo. An act that a later undo takes back counts no more; nothing is ever deleted. Money is kept in
whole cents, days as 2026-03-01.

The journal is a file beside it that is gone after each act, so that a folder that is synced or
copied holds one file that is whole. Every row carries a checksum of its own; whoever reads all of
them checks it.
"""

import re
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from pricing.basis.columns import BY_NAME
from pricing.basis.files import write_bytes
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused, refused

FORM = 1  # of the tables
MARK = 0x70726963  # the file's own kind, "pric" in ASCII
PATIENCE = 20.0  # seconds that a second writer waits
CELLS = tuple(name for name in BY_NAME if name != "unit")
RESTORE = (
    "restore your last backup (pricing restore), or add your files again into a new home: the"
    " originals are in data/originals"
)
_KINDS = {"number": "real", "money": "integer"}
_CELLS = ", ".join(f'"{name}" {_KINDS.get(BY_NAME[name].kind, "text")}' for name in CELLS)
_SHOWN = ", ".join(
    f'"{name}" / 100.0 as "{name}"' if BY_NAME[name].kind == "money" else f'"{name}"'
    for name in CELLS
)
# whether a row `s` of `state` counts: its act does, or one that said the same again
COUNTS = """source in (select id from counting) or exists (select 1
    from again a where a.state = s.id and a.source in (select id from counting))"""
_TEXT = Path(__file__).with_name("tables.sql").read_text(encoding="utf-8")
TABLES = tuple(
    table.strip().format(cells=_CELLS, shown=_SHOWN, counts=COUNTS)
    for table in re.sub(r"^--.*\n", "", _TEXT, flags=re.MULTILINE).split(";\n")[:-1]
)


def record_file(home: Home) -> Path:
    return home.data / "record.db"


def has_record(home: Home) -> bool:
    """Whether anything was ever added here. Raises Refused where the record is gone and its
    originals are still there."""
    if record_file(home).exists():
        return True
    originals = home.data / "originals"
    if originals.is_dir() and any(path.suffix != ".tmp" for path in originals.iterdir()):
        raise refused(
            "this file is missing: it is your record", RESTORE, file=str(record_file(home))
        )
    return False


def other_copies(home: Home) -> list[Path]:
    """Files beside the record that look like another copy of it, left by syncing."""
    if not home.data.is_dir():
        return []
    return sorted(
        path
        for path in home.data.glob("*record*.db")
        if path != record_file(home) and not path.name.startswith(".")
    )


@contextmanager
def reading(home: Home) -> Iterator[sqlite3.Connection]:
    """The record as it stood at one moment; an empty one in memory where there is none yet."""
    path = record_file(home)
    if not has_record(home):
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as empty:
            _make(empty)
            yield empty
        return
    with _told(path), closing(_opened(path)) as db:
        db.execute("begin")
        yield db


@contextmanager
def writing(
    home: Home, keep: bool = True, patience: float = PATIENCE
) -> Iterator[sqlite3.Connection]:
    """The record for one act, true as a whole when the block ends well and otherwise as if it had
    never begun. keep: False takes everything back at the end, for a look at what would happen."""
    path = record_file(home)
    if not keep and not has_record(home):
        with reading(home) as empty:
            yield empty
        return
    begin(home)
    with _told(path), closing(_opened(path, patience)) as db:
        # Reserved at once: a second writer waits here, not in the middle of its work.
        db.execute("begin immediate")
        # rows stand before the act that wrote them: what they came to is known at its end
        db.execute("pragma defer_foreign_keys = on")
        try:
            yield db
        except BaseException:
            if db.in_transaction:
                db.execute("rollback")
            raise
        db.execute("commit" if keep else "rollback")


def begin(home: Home) -> None:
    """Make the file where there is none, so that from now on a missing one is damage, never a fresh
    home. It stays, empty, where the act fails: another writer may be waiting for it already."""
    path = record_file(home)
    if has_record(home):
        return
    # SQLite would make it piece by piece: a power cut then leaves a file without tables
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as empty:
        _make(empty)
        with suppress(FileExistsError):  # another writer was first
            write_bytes(path, empty.serialize(), replace=False)


def open_copy(path: Path) -> sqlite3.Connection:
    """Another copy of a record, only to be read. Raises Refused where it is none."""
    with _told(path):
        return _opened(path, mode="ro")


def snapshot(home: Home) -> bytes:
    """The record's file as it stood at one moment, through SQLite's own backup."""
    with (
        tempfile.TemporaryDirectory(prefix="pricing-") as folder,
        reading(home) as db,
        closing(sqlite3.connect(Path(folder) / "record.db")) as copy,
    ):
        db.backup(copy)
        copy.close()
        return (Path(folder) / "record.db").read_bytes()


def is_record(path: Path) -> bool:
    """Whether a file is a record of ours, by its first bytes."""
    if not path.is_file():  # a pipe would wait for ever
        return False
    try:
        with path.open("rb") as handle:
            return handle.read(16) == b"SQLite format 3\0"
    except OSError:
        return False


def _make(db: sqlite3.Connection) -> None:
    db.execute(f"pragma application_id = {MARK}")
    db.execute(f"pragma user_version = {FORM}")
    for line in TABLES:
        db.execute(line)


def _opened(path: Path, patience: float = PATIENCE, mode: str = "rw") -> sqlite3.Connection:
    # A writer that was killed leaves its journal: whoever comes next must be able to put the file
    # right, so a reader too opens it for writing. SQLite itself reads on where that is not allowed.
    db = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=patience, isolation_level=None
    )
    try:
        _steady(db)
        mark = db.execute("pragma application_id").fetchone()[0]
        form = db.execute("pragma user_version").fetchone()[0]
        if mark != MARK:
            raise sqlite3.DatabaseError("not a record of ours")
        if form != FORM:
            what = f"this record was written by another program (form {form}, mine is {FORM})"
            raise refused(what, "update pricing", file=str(path))
    except BaseException:
        db.close()
        raise
    return db


def next_id(db: sqlite3.Connection, table: str) -> int:
    """The number of the next row of a table."""
    return int(db.execute(f"select coalesce(max(id), 0) + 1 from {table}").fetchone()[0])


def _steady(db: sqlite3.Connection) -> None:
    """Nothing is said to be done before the disk has it, the folder's own entry included."""
    db.execute("pragma journal_mode = delete")
    db.execute("pragma synchronous = extra")
    db.execute("pragma foreign_keys = on")
    db.execute("pragma temp_store = file")
    db.execute("pragma cache_size = -65536")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """What SQLite says, as a sentence with the way out."""
    try:
        yield
    except sqlite3.Error as error:
        raise Refused(_problem(path, error)) from error
    except UnicodeDecodeError as error:
        raise Refused(damaged(path)) from error


def damaged(path: Path) -> Problem:
    return Problem("this file is damaged: it is not as it was written", RESTORE, file=str(path))


# What SQLite says by the beginning of its name, as a sentence, and the way out.
_SAID = (
    ("BUSY LOCKED", "the record is busy: another program is adding to it",
        "wait until it is done, then run this again; nothing was changed"),
    ("READONLY CANTOPEN PERM AUTH", "the record cannot be opened for writing: {}",
        "make the folder writable, or use another one with --home"),
    ("FULL", "the record cannot be written: the disk is full",
        "free some space on the disk, then try again; nothing was changed"),
    ("IOERR", "the record cannot be read or written: {}",
        "check the disk and its free space, then try again; nothing was changed"),
)  # fmt: skip


def _problem(path: Path, error: sqlite3.Error) -> Problem:
    name = getattr(error, "sqlite_errorname", "")
    for kinds, what, fix in _SAID:
        if name.startswith(tuple(f"SQLITE_{kind}" for kind in kinds.split())):
            return Problem(what.format(error), fix, file=str(path))
    return damaged(path)
