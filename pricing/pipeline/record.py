"""The stories of the record: add, undo, files, history, export, blank; each reads top to bottom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from pricing.basis.columns import MINUTES
from pricing.basis.files import sha256, write_bytes
from pricing.basis.frozen import frozen
from pricing.basis.home import DEMO_UNIT, Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers, Reading, read_file
from pricing.ingest.headings import REASON, Heading
from pricing.ingest.read import is_long
from pricing.ingest.reading import Rejected, Row

if TYPE_CHECKING:
    import pyarrow as pa

    from pricing.ledger.batches import Entry, Ledger
    from pricing.ledger.changes import Changes, FileFacts, NewRow


SHOWN = (
    "type",
    "condition",
    "outcome",
)  # columns in which the person is shown how their words were read


@frozen
class Added:
    """What adding one file did, or would do. counts add up to `seen`; entry is None where nothing
    had to be written."""

    file: str
    seen: int
    counts: dict[str, int]
    control_total: Decimal
    reading: Reading
    rejected: tuple[Rejected, ...]
    notes: tuple[Problem, ...]
    older: tuple[tuple[int, str], ...] = ()
    gone: tuple[str, ...] = ()
    entry: Entry | None = None
    rejected_file: Path | None = None
    dry_run: bool = False
    filled: dict[str, int] = field(default_factory=dict)
    n_units: int = 0
    row_notes: tuple[Problem, ...] = ()
    read_as: dict[tuple[str, str], int] = field(default_factory=dict)  # (theirs, ours) -> rows

    @property
    def words(self) -> list[tuple[str, str, int]]:
        """The person's words that were read as ours, most used first: (theirs, ours, rows)."""
        return [
            (theirs, ours, n)
            for (theirs, ours), n in Counter(self.read_as).most_common()
            if theirs.casefold() != ours.casefold()
        ]

    @property
    def served(self) -> bool:
        """Whether a single row could be recorded, or was known already."""
        return self.seen - self.counts["rejected"] - self.counts["skipped"] > 0


def add(
    home: Home,
    path: Path,
    settings: Settings,
    today: date,
    answers: Answers | None = None,
    dry_run: bool = False,
    under_lock: Callable[[], None] | None = None,
    tell: Callable[[int], None] | None = None,
) -> Added:
    """Read a file, check it, compare it with the record, and record what is new. Nothing is written
    on a dry run.

    under_lock: a last check that nobody else can come after; what it raises leaves the record as it
    was.
    tell: called with the rows seen so far while a long file is read.
    Raises Refused where the file is no table of units; the record is then as before.
    """
    from pricing.ledger import batches, learned, lock

    if is_long(path) and under_lock is None:
        from pricing.ingest.long import open_long
        from pricing.pipeline.record_long import add_long

        long_file = open_long(path, settings, today, answers or Answers(), learned.load(home))
        if long_file is not None:
            return add_long(home, long_file, today, answers, dry_run, tell or (lambda n_rows: None))
    reading = read_file(path, settings, today, answers, remembered=learned.load(home))
    if under_lock is None:
        _of_one_world(home, reading, path)
    if dry_run:
        return _added(reading, *_compare(home, batches.load(home), reading, answers), dry_run=True)
    if not reading.rows:
        nothing, gone = _compare(home, batches.load(home), reading, answers)
        return replace(
            _added(reading, nothing, gone),
            rejected_file=write_rejected(home, reading, reading.rejected),
        )
    with lock.writing(home):
        if under_lock is not None:
            under_lock()
        ledger = batches.load(home)
        changes, gone = _compare(home, ledger, reading, answers)
        added = _added(reading, changes, gone)
        hand = answers.by_hand if answers is not None else ""
        entry = _record(home, ledger, added, changes, path, today, hand) if changes.rows else None
        if (
            answers is not None and under_lock is None
        ):  # what the page writes by hand is no habit of the person's sheets
            remember(home, reading, answers)
    return replace(added, entry=entry, rejected_file=write_rejected(home, reading, added.rejected))


def _of_one_world(home: Home, reading: Reading, path: Path) -> None:
    """Invented units stay in the demo's folder."""
    if not home.is_demo and any(
        str(row.as_unit().get("unit", "")).startswith(DEMO_UNIT) for row in reading.rows
    ):
        raise Refused(
            Problem(
                "this is the invented record of the demo, and it cannot enter your own",
                "add your own sheet; pricing demo shows the invented one",
                file=str(path),
            )
        )


def _record(
    home: Home,
    ledger: Ledger,
    added: Added,
    changes: Changes,
    path: Path,
    today: date,
    by_hand: str,
) -> Entry:
    """Keep the original, then the batch, then make it count."""
    from pricing.ledger import batches
    from pricing.ledger.changes import table_of

    entry = replace(entry_for(home, ledger, added, path, today), rows=len(changes.rows))
    if by_hand:
        entry = replace(entry, source={**entry.source, "by_hand": by_hand})
    return batches.append(home, ledger, entry, batches.batch_bytes(table_of(changes.rows))).entries[
        -1
    ]


def entry_for(home: Home, ledger: Ledger, added: Added, path: Path, today: date) -> Entry:
    """Keep the original and the rows set aside; the entry that says where they are, still without
    its batch. Under the lock only."""
    from pricing.basis.files import copy_by_content
    from pricing.ledger import batches

    digest, size, kept = copy_by_content(path, home.data / "originals", _ending(path))
    rejected = {}
    if added.rejected:
        data = rejected_csv(added.reading, added.rejected)
        rejected = {"name": f"{ledger.next_number:06d}.csv", "sha256": sha256(data)}
        write_bytes(home.data / "rejected" / rejected["name"], data)
    return batches.Entry(
        ledger.next_number,
        "add",
        day=today.isoformat(),
        source={
            "name": _printable(path.name),
            "sha256": digest,
            "bytes": size,
            "original": kept.name,
        },
        counts=added.counts,
        total=f"{added.control_total:.2f}",
        shape=added.reading.facts.shape,
        rejected=rejected,
        units=added.seen - added.counts["skipped"],
    )


def remember(home: Home, reading: Reading, answers: Answers | None) -> None:
    """Keep what the person said for the next file of the same shape. Under the lock only."""
    from pricing.ledger import learned

    if answers is not None:
        learned.remember(home, reading.facts.shape, answers.as_dict())


def _compare(
    home: Home, ledger: Ledger, reading: Reading, answers: Answers | None
) -> tuple[Changes, list[str]]:
    from pricing.ledger.changes import NewRow, compare

    rows = [NewRow(row.line, row.values, row.said, row.extra) for row in reading.rows]
    changes = compare(
        rows,
        _history_of(home, ledger, rows),
        facts_of(reading.file, reading.facts.headings, answers),
    )
    return changes, _gone(home, ledger, reading, changes)


def facts_of(name: str, headings: Iterable[Heading], answers: Answers | None) -> FileFacts:
    """What a comparison must know of a file with these headings."""
    from pricing.ledger.changes import FileFacts

    columns = frozenset(heading.column for heading in headings if heading.column)
    unknown = frozenset(heading.text for heading in headings if not heading.column) | columns
    return FileFacts(name, columns, unknown, bool(answers and answers.take_older))


def _history_of(home: Home, ledger: Ledger, rows: Sequence[NewRow]) -> pa.Table:
    """Every recorded row with one of these numbers, and of units without a number those that a row
    of the file may be; oldest first."""
    import pyarrow as pa
    import pyarrow.compute as pc

    from pricing.ledger.blocks import check, rows_of

    entries = ledger.counting()
    check(home, entries)
    numbers = {str(row.values["unit"]) for row in rows if row.values.get("unit")}
    if anonymous := [row for row in rows if not row.values.get("unit")]:
        numbers |= _alike(home, entries, anonymous)
    wanted = pa.array(sorted(numbers), pa.string())
    return rows_of(
        home, entries, lambda keys: pc.is_in(keys, value_set=wanted).to_numpy(zero_copy_only=False)
    )


def _alike(home: Home, entries: tuple[Entry, ...], rows: Sequence[NewRow]) -> set[str]:
    """Made-up numbers of recorded units that may be one of these rows, since what a unit keeps is
    among theirs; and the numbers that these rows may get."""
    import pyarrow as pa
    import pyarrow.compute as pc

    from pricing.ledger import blocks
    from pricing.ledger.batches import schema
    from pricing.ledger.changes import MADE_UP, STABLE, content, made_up_number

    texts = Counter(content(row.values, row.said, row.extra) for row in rows)
    found = {
        made_up_number(text, tries)
        for text, count in texts.items()
        for tries in range(1, count + 4)
    }
    kinds = {name: schema().field(name).type for name in STABLE}
    kept = {
        name: pa.array({row.values.get(name) for row in rows}, kind)
        for name, kind in kinds.items()
        if not pa.types.is_floating(kind)
    }  # numbers are compared rounded
    for block in blocks.blocks(home, entries, ["key", *kept], by_entry=False):
        keys = blocks.plain(block.table.column("key"))
        mine = pc.starts_with(keys, MADE_UP)
        for name, values in kept.items():
            mine = pc.and_(mine, pc.is_in(blocks.plain(block.table.column(name)), value_set=values))
        found.update(keys.filter(mine).to_pylist())
    return found


def _gone(home: Home, ledger: Ledger, reading: Reading, changes: Changes) -> list[str]:
    """Units that an earlier file of the same shape had and this one no longer has, where this one
    still has most of them."""
    from pricing.ledger.blocks import keys_of

    same, at_least = of_shape(ledger, reading.facts.shape)
    if len(changes.keys) < 0.5 * at_least:
        return []
    before = {key for keys in keys_of(home, same) for key in keys.to_pylist()}
    now = changes.keys
    return sorted(before - now) if len(before & now) >= 0.5 * len(before) else []


def read_as(rows: Iterable[Row]) -> Counter[tuple[str, str]]:
    """How many rows have which word of the person's in place of which of ours, in the columns where
    that is shown."""
    return Counter(
        (theirs, str(row.values[name]))
        for row in rows
        for name, theirs in row.said.items()
        if name in SHOWN and name in row.values
    )


def of_shape(ledger: Ledger, shape: str) -> tuple[tuple[Entry, ...], int]:
    """The counting entries of files of one shape, and how many units they had at least: each was
    new once, but for what was taken back and forth."""
    same = tuple(entry for entry in ledger.counting() if shape and entry.shape == shape)
    new = [entry.counts.get("accepted", 0) for entry in same]
    undone = ledger.undone()
    was_back = any(entry.kind == "undo" and entry.number in undone for entry in ledger.entries)
    return same, max(new, default=0) if was_back else sum(new)


def _added(reading: Reading, changes: Changes, gone: list[str], dry_run: bool = False) -> Added:
    turned_away = [_turned_away(reading, line, problem) for line, problem in changes.rejected]
    rejected = tuple(sorted((*reading.rejected, *turned_away), key=lambda row: row.line))
    counts = {
        "accepted": changes.accepted,
        "changed": changes.changed,
        "unchanged": changes.unchanged,
        "duplicates": changes.duplicates,
        "rejected": len(rejected),
        "skipped": len(reading.skipped),
    }
    if sum(counts.values()) != reading.seen:
        raise AssertionError(f"rows do not tie out: {counts} of {reading.seen}")
    out = {line for line, _ in changes.rejected} | set(changes.duplicate_lines)
    total = sum(
        (
            row.values["price"]
            for row in reading.rows
            if "price" in row.values and row.line not in out
        ),
        Decimal(0),
    )
    filled = Counter(name for row in reading.rows for name in row.values)
    filled["hours"] = max(filled["hours"], *(filled[name] for name in MINUTES))
    return Added(
        reading.file,
        reading.seen,
        counts,
        total,
        reading,
        rejected,
        (*reading.notes, *changes.notes),
        tuple(changes.older),
        tuple(gone),
        dry_run=dry_run,
        filled=dict(filled),
        n_units=len(reading.rows),
        row_notes=tuple(note for row in reading.rows for note in row.notes),
        read_as=dict(read_as(reading.rows)),
    )


def _turned_away(reading: Reading, line: int, problem: Problem) -> Rejected:
    row = next(row for row in reading.rows if row.line == line)
    return Rejected(line, row.record, row.cells, (problem,))


def rejected_csv(reading: Reading, rejected: Sequence[Rejected]) -> bytes:
    """The rows set aside in the person's own columns, and why: to be mended and added again."""
    from pricing.ledger.export import csv_bytes

    header = [heading.text for heading in reading.facts.headings]
    width = max([len(header), *(len(row.cells) for row in rejected)])
    header += [""] * (width - len(header)) + [REASON]
    rows = (
        [
            *row.cells,
            *[""] * (width - len(row.cells)),
            "; ".join(f"{p.column}: {p.what}" if p.column else p.what for p in row.problems),
        ]
        for row in rejected
    )
    return csv_bytes(header, rows, reading.facts.delimiter)


def write_rejected(home: Home, reading: Reading, rejected: Sequence[Rejected]) -> Path | None:
    """A copy of the rows set aside, for mending, in reports/."""
    if not rejected:
        return None
    path = home.reports / f"rejected-{_safe_stem(Path(reading.file))}.csv"
    write_bytes(path, rejected_csv(reading, rejected))
    return path


def _ending(path: Path) -> str:
    ending = path.suffix.lower()
    return ending if ending.isascii() and ending[1:].isalnum() and len(ending) <= 6 else ""


def _safe_stem(path: Path) -> str:
    return (
        "".join(sign if sign.isalnum() or sign in "-_ " else "-" for sign in _printable(path.stem))[
            :60
        ]
        or "file"
    )


def _printable(text: str) -> str:
    return text.encode("utf-8", "replace").decode("utf-8")


def undo(home: Home, name: str | None, today: date, back: bool = False) -> tuple[Entry, Entry]:
    """Take an added file back, or with `back` the last undo; returns (the undo, what it takes
    back)."""
    from pricing.ledger import batches, blocks, lock

    with lock.writing(home):
        ledger = batches.load(home)
        target = _target(ledger, name, back)
        blocks.check(home, ledger.counting())
        ledger = batches.append(
            home,
            ledger,
            batches.Entry(ledger.next_number, "undo", today.isoformat(), of=target.number),
            None,
        )
    return ledger.entries[-1], target


def _target(ledger: Ledger, name: str | None, back: bool) -> Entry:
    undone = ledger.undone()
    if back:
        adds = {entry.number for entry in ledger.entries if entry.kind == "add"}
        found = [
            entry
            for entry in ledger.entries
            if entry.kind == "undo" and entry.of in adds and entry.number not in undone
        ]
        if name:
            found = [
                entry
                for entry in found
                if _is_named(next(e for e in ledger.entries if e.number == entry.of), name)
            ]
        if not found:
            raise Refused(Problem("nothing to redo", "see pricing files"))
        return found[-1]
    counting = ledger.counting()
    if not counting:
        raise Refused(Problem("there is no added file to take back", "see pricing files"))
    found = [entry for entry in counting if name is None or _is_named(entry, name)]
    if not found:
        known = ", ".join(dict.fromkeys(str(entry.source.get("name")) for entry in counting[-5:]))
        raise Refused(Problem(f"you added no file called {name!r}", f"name one of: {known}"))
    return found[-1]


def _is_named(entry: Entry, name: str) -> bool:
    return name in (str(entry.number), str(entry.source.get("name"))) or Path(
        name
    ).name == entry.source.get("name")


def name_of(home: Home, number: int) -> str:
    """The name of the file that an entry added."""
    from pricing.ledger.batches import load

    return next(
        (str(entry.source.get("name")) for entry in load(home).entries if entry.number == number),
        "",
    )


def answered(answers: Answers, option: str) -> Answers:
    """Answers with one printed option taken: '--date-order dmy'."""
    import shlex

    name, _, value = option.partition(" ")
    value = " ".join(shlex.split(value))
    if name == "--date-order":
        return replace(answers, date_order=value)
    if name == "--decimal":
        return replace(answers, decimal=value)
    if name == "--year":
        return replace(answers, year=int(value))
    if name == "--describe":
        return replace(answers, describe=value)
    if name == "--slash":
        return replace(answers, slash=value)
    if name == "--header":
        theirs, _, ours = value.rpartition("=")
        return replace(answers, headers={**answers.headers, theirs: ours})
    raise AssertionError(option)
