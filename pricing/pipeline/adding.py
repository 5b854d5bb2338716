"""The story of adding a sheet: read, compare with the record, write what is new, all or nothing."""

from __future__ import annotations

import hashlib
import heapq
import json
import shlex
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from pricing.basis import files, late, problems
from pricing.basis.columns import MINUTES
from pricing.basis.frozen import frozen
from pricing.basis.home import DEMO_UNIT, Home
from pricing.basis.settings import Settings
from pricing.ingest import Answers, Reading, draft, long, read_file
from pricing.ingest.evidence import same_currency
from pricing.ingest.headings import REASON, Heading
from pricing.ingest.read import is_long
from pricing.ingest.reading import Rejected, Row, Skipped
from pricing.record import current, entries, export, store
from pricing.record.changes import Changes, Comparing, FileFacts, gone, look_alikes
from pricing.record.entries import ADD, Entry, Ledger
from pricing.record.rows import Incoming, from_table, incoming


@frozen
class Added:
    """What adding a file did, or would do: counts add up to `seen`; entry: None if nothing new."""

    file: str
    seen: int
    counts: dict[str, int]
    control_total: Decimal
    reading: Reading
    rejected: tuple[Rejected, ...]
    notes: tuple[problems.Problem, ...]
    older: tuple[tuple[int, str], ...] = ()
    gone: tuple[str, ...] = ()
    entry: Entry | None = None
    rejected_file: Path | None = None
    dry_run: bool = False
    filled: dict[str, int] = field(default_factory=dict)
    n_units: int = 0
    row_notes: tuple[problems.Problem, ...] = ()
    first_rows: tuple[dict[str, Any], ...] = ()  # as read, for a look: column or heading -> value
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
    tell: Tell = lambda n_rows: None,
) -> Added:
    """Read a file, check it, compare it with the record, and record what is new; a dry run writes
    nothing. tell: called with the rows seen so far of a long file. Raises Refused where the file is
    no table of units; the record is then as before.
    """
    said = answers or Answers()
    remembered = entries.shapes_of(home)
    sheet: SheetPassing | None = None
    if is_long(path):
        long_file = long.open_long(path, settings, today, said, remembered)
        sheet = LongSheet(long_file, tell) if long_file is not None else None
    sheet = sheet or ShortSheet(read_file(path, settings, today, said, remembered=remembered))
    if isinstance(sheet, ShortSheet):  # of a long one it is known when its rows have passed
        _of_one_world(home, path, any_of_demo(sheet.reading.rows))
    empty = isinstance(sheet, ShortSheet) and not sheet.reading.rows
    with store.writing(home, keep=not (dry_run or empty)) as db:
        ledger = entries.of(db, home)
        _of_one_currency(path, sheet, settings, ledger)
        added, changes = _compared(db, ledger, sheet, said)
        _of_one_world(home, path, sheet.tally.has_demo)
        added = replace(added, dry_run=dry_run)
        if dry_run:
            return added
        if empty:
            return replace(added, rejected_file=write_rejected(home, added.reading, added.rejected))
        if changes.written or (changes.again and not _stands(home, ledger, path)):
            entry = _entry_of(home, ledger, added, changes, path, today)
            added = replace(added, entry=entries.write(db, entry))
            entries.set_aside(db, entry.number, added.rejected)
        else:
            entries.forget(db, ledger.next_number)
        act = added.entry.number if added.entry else 0
        entries.remember(db, added.reading.facts.shape, said.as_dict(), act)
    return replace(added, rejected_file=write_rejected(home, added.reading, added.rejected))


def _of_one_world(home: Home, path: Path, has_demo: bool) -> None:
    """Invented units stay in the demo's folder."""
    if has_demo and not home.is_demo:
        what = "this is the invented record of the demo, and it cannot enter your own"
        fix = "add your own sheet; pricing demo shows the invented one"
        raise problems.refused(what, fix, file=str(path))


def _of_one_currency(path: Path, sheet: SheetPassing, settings: Settings, ledger: Ledger) -> None:
    """A sheet in another currency than a record that holds units already never joins its sums."""
    theirs, ours = sheet.currency, settings.currency.upper()
    if not same_currency(theirs, ours) and any(entry.kind == ADD for entry in ledger.counting()):
        what = f"the amounts of this sheet are in {theirs}, your record is in {ours}: not added"
        fix = f'change them into {ours}; or, if all your money is, write currency = "{theirs}" in'
        raise problems.refused(what, f"{fix} pricing.toml", file=str(path))


def _compared(
    db: Any, ledger: Ledger, sheet: SheetPassing, answers: Answers
) -> tuple[Added, Changes]:
    """What a sheet does to the record, written but not yet kept; a long one is read again where its
    whole content shows other marks than its first lines did."""
    counts = entries.counts_now(db)
    for _ in range(4):
        db.execute("savepoint sheet")
        comparing = Comparing(db, ledger.next_number, facts_of(sheet, answers), counts)
        with current.no_collecting():
            for piece in sheet.pieces():
                comparing.put(piece)
            if sheet.settled():
                changes = comparing.finish()
                ours = [one.number for one in ledger.counting() if one.shape == sheet.shape]
                missing = gone(comparing, ours if sheet.shape else [])
                changes.notes += look_alikes(db, comparing.first, missing, sheet.name)
                return _added(sheet, changes, missing), changes
        db.execute("rollback to sheet")
    raise AssertionError("the file changed while it was read")


def facts_of(sheet: SheetPassing, answers: Answers) -> FileFacts:
    """What a comparison must know of a sheet."""
    columns = frozenset(heading.column for heading in sheet.headings if heading.column)
    unknown = frozenset(heading.text for heading in sheet.headings if not heading.column)
    return FileFacts(sheet.name, columns, unknown | columns, answers.take_older)


def _added(sheet: SheetPassing, changes: Changes, missing: Sequence[str]) -> Added:
    tally = sheet.tally
    cells = sheet.cells({line for line, _ in changes.rejected}) if changes.rejected else {}
    away = (Rejected(line, 0, cells.get(line, ()), (why,)) for line, why in changes.rejected)
    rejected = tuple(sorted((*tally.rejected, *away), key=lambda row: row.line))
    names = ("accepted", "changed", "unchanged", "duplicates")
    counts: dict[str, int] = {name: getattr(changes, name) for name in names}
    counts |= {"rejected": len(rejected), "skipped": len(tally.skipped)}
    seen = tally.units + len(tally.rejected) + len(tally.skipped)
    if sum(counts.values()) != seen:
        raise AssertionError(f"rows do not tie out: {counts} of {seen}")
    filled = dict(tally.filled)
    filled["hours"] = max(filled.get("hours", 0), *(filled.get(name, 0) for name in MINUTES))
    reading = sheet.read(rejected)
    return Added(
        sheet.name,
        seen,
        counts,
        Decimal(tally.cents - changes.off) / 100,
        reading,
        rejected,
        (*reading.notes, *changes.notes),
        tuple(changes.older),
        tuple(missing),
        filled=filled,
        n_units=tally.units,
        row_notes=tuple(tally.notes),
        read_as=dict(tally.read_as),
        first_rows=tuple(tally.first),
    )


# ---- what is kept beside the rows


def _entry_of(
    home: Home, ledger: Ledger, added: Added, changes: Changes, path: Path, today: date
) -> Entry:
    """Keep the original; the act that says where it is."""
    digest, size, kept = files.copy_by_content(path, home.data / "originals", _ending(path))
    return Entry(
        ledger.next_number,
        ADD,
        day=today.isoformat(),
        rows=changes.written,
        name=_printable(path.name),
        sha256=digest,
        bytes=size,
        original=kept.name,
        counts=added.counts,
        total=f"{added.control_total:.2f}",
        shape=added.reading.facts.shape,
        units=added.seen - added.counts["skipped"],
        filled=sorted(changes.filled),
        again=changes.again,
    )


def _stands(home: Home, ledger: Ledger, path: Path) -> bool:
    """Whether this very file was added before and counts; a damaged original of it is mended."""
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    same = next((entry for entry in ledger.counting() if entry.sha256 == digest), None)
    if same is not None and same.original:
        files.copy_by_content(path, home.data / "originals", Path(same.original).suffix)
    return same is not None


def rejected_csv(reading: Reading, rejected: Sequence[Rejected]) -> bytes:
    """The rows set aside in the person's own columns, and why: to be mended and added again."""
    header = [heading.text for heading in reading.facts.headings]
    width = max([len(header), *(len(row.cells) for row in rejected)])
    rows = []
    for row in rejected:
        why = (f"{p.column}: {p.what}" if p.column else p.what for p in row.problems)
        rows.append([*row.cells, *[""] * (width - len(row.cells)), "; ".join(why)])
    header += [""] * (width - len(header)) + [REASON]
    return export.csv_bytes(header, rows, reading.facts.delimiter)


def write_rejected(home: Home, reading: Reading, rejected: Sequence[Rejected]) -> Path | None:
    """A copy of the rows set aside, for mending, in reports/."""
    if not rejected:
        return None
    path = home.reports / f"rejected-{_safe_stem(Path(reading.file))}.csv"
    files.write_bytes(path, rejected_csv(reading, rejected))
    return path


def _ending(path: Path) -> str:
    ending = path.suffix.lower()
    return ending if ending.isascii() and ending[1:].isalnum() and len(ending) <= 6 else ""


def _safe_stem(path: Path) -> str:
    safe = [sign if sign.isalnum() or sign in "-_ " else "-" for sign in _printable(path.stem)]
    return "".join(safe)[:60] or "file"


def _printable(text: str) -> str:
    return text.encode("utf-8", "replace").decode("utf-8")


def answered(answers: Answers, option: str) -> Answers:
    """Answers with one printed option taken: '--date-order dmy'."""
    name, _, value = option.partition(" ")
    value = " ".join(shlex.split(value))
    said: dict[str, Any] = {}
    if name in ("--date-order", "--decimal", "--describe", "--slash", "--ended"):
        said = {name[2:].replace("-", "_"): value}
    elif name == "--year":
        said = {"year": int(value)}
    elif name in ("--header", "--word"):
        theirs, _, ours = value.rpartition("=")
        told = f"{name[2:]}s"
        said = {told: {**getattr(answers, told), theirs: ours}}
    else:
        raise AssertionError(option)
    return replace(answers, **said)


# ---- one sheet on its way into the record, short or long
# columns in which the person is shown how their words were read
SHOWN = ("type", "condition", "outcome")
MOST_NOTES = 1_000
FIRST = 50  # rows of which a look is kept
Tell = Callable[[int], None]


def any_of_demo(rows: Iterable[Row]) -> bool:
    return any(str(row.values.get("unit", "")).startswith(DEMO_UNIT) for row in rows)


class _Tally:
    """What the rows of a file hold, counted while they pass."""

    def __init__(self) -> None:
        self.filled: Counter[str] = Counter()
        self.read_as: Counter[tuple[str, str]] = Counter()
        self.cents = self.units = 0
        self.has_demo = False
        self.first: list[dict[str, Any]] = []
        self.notes: list[problems.Problem] = []
        self.rejected: list[Rejected] = []
        self.skipped: list[Skipped] = []

    def rows(self, rows: Sequence[Row]) -> Iterator[Incoming]:
        """Rows read one by one."""
        self.units += len(rows)
        self.has_demo |= any_of_demo(rows)
        if len(self.first) < FIRST:
            self.first += [row.extra | row.values for row in rows[:FIRST]]
        for row in rows:
            self.filled.update(list(row.values))
            self.notes += row.notes if len(self.notes) < MOST_NOTES else ()
            self.cents += int(row.values.get("price", 0) * 100)
        self.read_as += _read_as(rows)
        return incoming(rows)

    def table(self, table: late.pa.Table) -> Iterator[Incoming]:
        """Plain rows, read in columns."""
        self.units += table.num_rows
        if len(self.first) < FIRST:
            rows_of = table.slice(0, FIRST).to_pylist()
            self.first += [json.loads(row.pop("extra", None) or "{}") | row for row in rows_of]
        for name in table.column_names:
            self.filled[name] += table.num_rows - table.column(name).null_count
        if "price" in table.column_names:
            self.cents += int((late.pc.sum(table.column("price")).as_py() or 0) * 100)
        if "unit" in table.column_names:
            starts = late.pc.starts_with(table.column("unit"), DEMO_UNIT)
            self.has_demo |= bool(late.pc.any(starts).as_py())
        self.read_as += _read_as_in(table)
        return from_table(table)

    def block(self, block: long.RowBlock) -> Iterator[Incoming]:
        """A block of a long file, in the order of its lines."""
        self.rejected += block.rejected
        self.skipped += block.skipped
        plain = self.table(block.table) if block.table is not None else iter(())
        return heapq.merge(plain, self.rows(block.others), key=lambda row: row.line)


class ShortSheet:
    """A sheet that was read whole."""

    def __init__(self, reading: Reading) -> None:
        self.reading, self.tally = reading, _Tally()
        self.name, self.headings = reading.file, reading.facts.headings
        self.shape, self.currency = reading.facts.shape, reading.facts.currency

    def pieces(self) -> Iterator[Iterator[Incoming]]:
        self.tally = _Tally()
        self.tally.rejected += self.reading.rejected
        self.tally.skipped += self.reading.skipped
        yield self.tally.rows(self.reading.rows)

    def settled(self) -> bool:
        return True

    def cells(self, lines: set[int]) -> dict[int, tuple[str, ...]]:
        return {row.line: row.cells for row in self.reading.rows if row.line in lines}

    def read(self, rejected: tuple[Rejected, ...]) -> Reading:
        return self.reading


class LongSheet:
    """A sheet that is read in blocks. tell: called with the rows seen so far."""

    def __init__(self, file: long.LongFile, tell: Tell) -> None:
        self.file, self.tell, self.tally = file, tell, _Tally()
        self.name = str(file.path)
        self.shape, self.currency = (f := file.prepared.facts()).shape, f.currency

    @property
    def headings(self) -> tuple[Heading, ...]:
        return self.file.prepared.rules.headings

    def pieces(self) -> Iterator[Iterator[Incoming]]:
        self.tally = _Tally()
        self.tally.skipped += self.file.prepared.skipped
        for block in self.file.blocks():
            yield self.tally.block(block)
            self.tell(self.tally.units + len(self.tally.rejected) + len(self.tally.skipped))

    def settled(self) -> bool:
        return self.file.settled()

    def cells(self, lines: set[int]) -> dict[int, tuple[str, ...]]:
        return self.file.cells_at(lines)

    def read(self, rejected: tuple[Rejected, ...]) -> Reading:
        prepared = self.file.prepared
        return Reading(
            self.name,
            (),
            tuple(self.tally.rejected),
            tuple(self.tally.skipped),
            (*prepared.notes, *draft.closing_notes(prepared.rules, prepared.decoded)),
            tuple(draft.waiting(prepared.asked, rejected, prepared.rules.today)),
            prepared.facts(),
        )


SheetPassing = ShortSheet | LongSheet


def _read_as(rows: Iterable[Row]) -> Counter[tuple[str, str]]:
    """Counts rows by (their word, our word), in the columns where that is shown."""
    return Counter(
        (theirs, str(row.values[name]))
        for row in rows
        for name, theirs in row.said.items()
        if name in SHOWN and name in row.values
    )


def _read_as_in(table: late.pa.Table) -> Counter[tuple[str, str]]:
    """The same of plain rows: each distinct saying is looked at once."""
    found: Counter[tuple[str, str]] = Counter()
    named = [name for name in SHOWN if name in table.column_names]
    if "said" not in table.column_names:
        return found
    grouped = table.select(["said", *named]).group_by(["said", *named])
    for row in grouped.aggregate([([], "count_all")]).to_pylist():
        for name, theirs in json.loads(row["said"] or "{}").items():
            if name in named and row[name] is not None:
                found[theirs, row[name]] += row["count_all"]
    return found
