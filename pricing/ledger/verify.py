"""Is every stored file whole? Each file in data/ and models/ against what was written down when it
was made."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pricing.basis.files import read_bytes, sha256
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.ledger import learned, months
from pricing.ledger.batches import (
    Entry,
    Ledger,
    batch_file,
    leftovers,
    load,
    read_runs,
    record_file,
)
from pricing.ledger.lock import lock_file

_RESTORE = "restore your last backup (pricing restore)"


@dataclass(frozen=True)
class Checked:
    """damaged: files that are not as they were written, or missing; foreign: files that are not
    ours; n_files: how many were checked."""

    damaged: tuple[Problem, ...]
    foreign: tuple[Path, ...]
    n_files: int


def verify_record(home: Home) -> Checked:
    """Check record.json, every batch (counting or not), the originals, the rejected rows and what
    was learned about headers.

    A batch or temporary file that a killed add left behind is neither damaged nor foreign: the next
    add clears it.
    """
    damaged: list[Problem] = []
    ledger = Ledger()
    try:
        ledger = load(home)
    except Refused as refusal:
        return Checked(refusal.problems, (), 1)
    ours = {record_file(home), lock_file(home), home.data / "headings.json"}
    n_files = int(record_file(home).exists())
    added = [entry for entry in ledger.entries if entry.kind == "add"]
    for path, problem in (*_batch_files(home, added), *_beside(home, added)):
        if path in ours:  # two adds of one original share its file
            continue
        ours.add(path)
        n_files += 1
        if problem is not None:
            damaged.append(problem)
    try:
        n_files += bool(learned.load(home))
    except Refused as refusal:
        damaged += refusal.problems
    for path, problems in months.stored(home):
        ours.add(path)
        n_files += 1
        damaged += problems
    for path in _orphan_originals(home, ours):
        ours.add(path)
        n_files += 1
        if sha256(read_bytes(path)) != path.stem:
            damaged.append(
                Problem(
                    "this original is damaged: it is not as it was given",
                    "add the file itself again",
                    file=str(path),
                )
            )
    return Checked(tuple(damaged), tuple(_foreign(home, ours, ledger)), n_files)


def _batch_files(home: Home, added: Sequence[Entry]) -> Iterator[tuple[Path, Problem | None]]:
    """Every batch file, opened once however many entries have rows in it, with what is wrong with
    it."""
    by_file: dict[str, list[Entry]] = {}
    for entry in added:
        by_file.setdefault(entry.file, []).append(entry)
    for entries in by_file.values():
        try:
            for _ in read_runs(home, entries):
                pass
            yield batch_file(home, entries[0]), None
        except Refused as refusal:
            yield batch_file(home, entries[0]), refusal.problems[0]


def _beside(home: Home, added: Sequence[Entry]) -> Iterator[tuple[Path, Problem | None]]:
    """The originals and the rejected rows, each with what is wrong with it."""
    originals = [
        (home.data / "originals" / str(entry.source["original"]), str(entry.source["sha256"]))
        for entry in added
        if "original" in entry.source
    ]
    rejected = [
        (home.data / "rejected" / entry.rejected["name"], entry.rejected["sha256"])
        for entry in added
        if entry.rejected
    ]
    for path, digest in (*originals, *rejected):
        if not path.exists():
            yield path, Problem("this file is missing", _RESTORE, file=str(path))
        elif sha256(read_bytes(path)) != digest:
            yield (
                path,
                Problem(
                    "this file is damaged: it is not as it was written", _RESTORE, file=str(path)
                ),
            )
        else:
            yield path, None


def _orphan_originals(home: Home, ours: set[Path]) -> list[Path]:
    """Originals of adds that were killed before they counted: named by their own SHA-256."""
    folder = home.data / "originals"
    return (
        [path for path in sorted(folder.glob("*")) if path not in ours and len(path.stem) == 64]
        if folder.is_dir()
        else []
    )


def _foreign(home: Home, ours: set[Path], ledger: Ledger) -> Iterator[Path]:
    if not home.data.is_dir():
        return
    left_over = set(leftovers(home))
    for path in sorted(home.data.rglob("*")):
        if (
            not path.is_file()
            or path in ours
            or path in left_over
            or path.name in (".gitignore", "README.md")
            or path.relative_to(home.data).parts[0] == "demo"
        ):
            continue
        ended = path.name.endswith(".tmp") and path.name.startswith(".")
        interrupted = (
            path.parent.name == "rejected"
            and path.stem.isdigit()
            and int(path.stem) >= ledger.next_number
        )
        if not ended and not interrupted:
            yield path
