"""A long file: its first lines decide how it is read, its blocks are read in order, and its whole
content has the last word.

Where the whole file shows another date order or decimal mark than its first lines did, the blocks
are read once more.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Set
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.basis.late import np, pa
from pricing.basis.problems import refused
from pricing.basis.settings import Settings
from pricing.ingest import block_columns, dates, draft, evidence, structure
from pricing.ingest.checks import read_row
from pricing.ingest.dialect import Dialect, Record, lines_of, records
from pricing.ingest.encoding import WEB_PAGE, decode, decode_strays
from pricing.ingest.read import Given, Prepared, prepare
from pricing.ingest.reading import Answers, Rejected, Row, Skipped

BLOCK_BYTES = 8 << 20
MOST_NOTES = 1_000
_MOST_CELL = 64 << 20


@dataclass
class RowBlock:
    """One block read. table: plain rows, with "line"; others: read one by one; n_lines: of it."""

    table: pa.Table | None
    others: list[Row]
    rejected: list[Rejected]
    skipped: list[Skipped]
    n_lines: int = 0


@dataclass(frozen=True)
class Layout:
    """What every block of a file needs: how it is split and what its columns mean."""

    dialect: Dialect
    header: structure.Header
    encoding: str
    rules: draft.Rules


def cut(path: Path, start: int, quote: str) -> Iterator[bytes]:
    """The file from byte `start` in pieces of about BLOCK_BYTES, each ending at a line end outside
    quotes."""
    mark = quote.encode()
    rest = b""
    with path.open("rb") as handle:
        handle.seek(start)
        while data := handle.read(BLOCK_BYTES):
            rest += data
            end = _last_line_end(rest, mark)
            if end < 0 and len(rest) < _MOST_CELL:
                continue
            if end < 0:
                # A quote that was never closed: the rules for single rows will name it
                end = rest.rfind(b"\n")
                end = len(rest) - 1 if end < 0 else end
            yield rest[: end + 1]
            rest = rest[end + 1 :]
    if rest:
        yield rest


def _last_line_end(data: bytes, mark: bytes) -> int:
    """The last line end that an even number of quotes stands before; -1 if none in 2,000."""
    end = data.rfind(b"\n")
    if end < 0:
        return -1
    quotes = data.count(mark, 0, end)
    for _ in range(2_000):
        if quotes % 2 == 0:
            return end
        before = data.rfind(b"\n", 0, end)
        if before < 0:
            return -1
        quotes -= data.count(mark, before, end)
        end = before
    return -1


def read_block(data: bytes, first_line: int, first_number: int, layout: Layout) -> RowBlock:
    """One block: by columns where it is plain, else record by record."""
    rules = layout.rules
    text_table = _split(data, layout)
    if text_table is None:
        return _record_by_record(data, first_line, first_number, layout)
    flagged, columns = block_columns.typed_columns(text_table, rules)
    plain = np.flatnonzero(~flagged)
    table = pa.table(columns).append_column(
        "line", pa.array((np.arange(text_table.num_rows) + first_line).astype(np.int32))
    )
    if len(plain) < text_table.num_rows:
        table = table.take(pa.array(plain))
    block = RowBlock(table, [], [], [], data.count(b"\n"))
    odd = np.flatnonzero(flagged)
    if len(odd):
        cells = text_table.take(pa.array(odd)).to_pydict()
        names = text_table.column_names
        for index, place in enumerate(odd.tolist()):
            record = Record(first_line + place, tuple(cells[name][index] for name in names))
            _one_row(record, first_number + place, layout, block)
    return block


def _record_by_record(data: bytes, first_line: int, first_number: int, layout: Layout) -> RowBlock:
    decoded = decode_strays(data, layout.encoding, first_line)
    layout.rules.stray_lines |= decoded.stray_lines
    lines = lines_of(decoded.text)
    block = RowBlock(None, [], [], [], len(lines))
    for number, record in enumerate(records(lines, layout.dialect, first_line), start=first_number):
        _one_row(record, number, layout, block)
    return block


def _one_row(record: Record, number: int, layout: Layout, block: RowBlock) -> None:
    rules = layout.rules
    cells = record.cells
    if structure.is_blank_record(cells):
        return
    if structure.is_reordered(cells, layout.header):
        what = "the columns change their order here"
        fix = "save the lines from here on as a file of their own, and add both"
        raise refused(what, fix, file=rules.file, line=record.line)
    why = structure.why_no_unit(
        cells, layout.header, rules.place("type"), rules.place("unit"), len(rules.headings)
    )
    if why:
        block.skipped.append(Skipped(record.line, why, cells))
        return
    result = read_row(record, number, rules)
    if isinstance(result, Row):
        block.others.append(result)
    else:
        block.rejected.append(result)


def _split(data: bytes, layout: Layout) -> pa.Table | None:
    """The block as an Arrow table of text, or None where only the careful reader gets it right."""
    from pyarrow import csv

    dialect = layout.dialect
    if layout.encoding != "utf-8":
        try:
            data = data.decode(layout.encoding).encode()
        except UnicodeDecodeError:
            return None
    if (
        dialect.quote != '"'
        or dialect.escape
        or dialect.wrapped
        or b"\x00" in data
        or not _plain_quotes(data, dialect.delimiter)
    ):
        return None
    n_lines = data.count(b"\n") + (not data.endswith(b"\n"))
    if data.count(b"\r") != data.count(b"\r\n"):
        return None
    names = [f"c{place}" for place in range(len(layout.rules.headings))]
    try:
        table = csv.read_csv(
            pa.py_buffer(data),
            read_options=csv.ReadOptions(column_names=names, block_size=1 << 20, use_threads=True),
            parse_options=csv.ParseOptions(delimiter=dialect.delimiter, ignore_empty_lines=False),
            convert_options=csv.ConvertOptions(
                column_types=dict.fromkeys(names, pa.string()), strings_can_be_null=False
            ),
        )
    except (pa.ArrowInvalid, pa.ArrowKeyError):
        return None
    return table.combine_chunks() if table.num_rows == n_lines else None


def _plain_quotes(data: bytes, delimiter: str) -> bool:
    """Whether every quote opens a cell, closes one, or is doubled inside one."""
    if b'"' not in data:
        return True
    signs = np.frombuffer(data, dtype=np.uint8)
    at = np.flatnonzero(signs == 34)
    if len(at) % 2:
        return False
    opening, closing = at[0::2], at[1::2]
    before = np.where(opening > 0, signs[np.maximum(opening - 1, 0)], 10)
    after = np.where(closing + 1 < len(signs), signs[np.minimum(closing + 1, len(signs) - 1)], 10)
    edge = ord(delimiter)
    return bool(np.isin(before, (edge, 10, 34)).all() and np.isin(after, (edge, 10, 13, 34)).all())


def prove(rules: draft.Rules, said_decimal: str, said_order: str) -> tuple[str, dates.OrderVerdict]:
    """(decimal mark, date order) that all distinct cells read so far show."""
    texts: list[str] = []
    days: dict[str, dates.DateReading] = {}
    for heading in rules.headings:
        kept = rules.memo.get(f"plain {heading.text}", {})
        kind = BY_NAME[heading.column].kind if heading.column in BY_NAME else ""
        if kind in ("money", "number", "dated"):
            texts += kept
        elif kind == "date":
            days |= {text.strip(): dates.read_date(text, rules.today) for text in kept}
    texts += rules.memo.get("money", {})
    days |= rules.memo.get("date", {})
    readings = [[reading] for text, reading in days.items() if text]
    return evidence.decimal_mark(texts, said_decimal).decimal, dates.decide_order(
        readings, said_order, rules.today
    )


_SAMPLE = 64 << 10


@dataclass
class LongFile:
    """A long file, ready to be read in blocks. start: the byte after its header; first_line: the
    physical line there."""

    path: Path
    prepared: Prepared
    answers: Answers
    start: int
    first_line: int

    def blocks(self) -> Iterator[RowBlock]:
        """The blocks in order; the next ones are worked out while one is used."""
        layout = Layout(
            self.prepared.dialect,
            self.prepared.header,
            self.prepared.decoded.encoding,
            self.prepared.rules,
        )
        line = self.first_line
        waiting: list[Future[RowBlock]] = []
        with ThreadPoolExecutor(max_workers=min(3, os.cpu_count() or 1)) as pool:
            for data in cut(self.path, self.start, layout.dialect.quote):
                waiting.append(
                    pool.submit(read_block, data, line, line - self.first_line + 1, layout)
                )
                line += data.count(b"\n")
                if len(waiting) > 3:
                    yield waiting.pop(0).result()
            for future in waiting:
                yield future.result()

    def cells_at(self, lines: Set[int]) -> dict[int, tuple[str, ...]]:
        """The cells of some lines as they are written, in one more pass over the file."""
        found: dict[int, tuple[str, ...]] = {}
        dialect, encoding = self.prepared.dialect, self.prepared.decoded.encoding
        first = self.first_line
        for data in cut(self.path, self.start, dialect.quote):
            last = first + data.count(b"\n")
            if any(first <= line <= last for line in lines):
                text = decode_strays(data, encoding, first).text
                for record in records(lines_of(text), dialect, first):
                    if record.line in lines:
                        found[record.line] = record.cells
            first = last
        return found

    def settled(self) -> bool:
        """Whether the whole file, now read, shows the marks it was read with; where not, the marks
        are put right for another reading."""
        rules = self.prepared.rules
        settings = rules.settings
        decimal, verdict = prove(
            rules,
            self.answers.decimal or settings.decimal,
            self.answers.date_order or settings.date_order,
        )
        known = verdict.how in ("proved", "said") or verdict.mixed
        order = verdict.order if known else rules.date_order
        if (decimal, order) == (rules.decimal, rules.date_order):
            return True
        self.prepared.rules = replace(rules, decimal=decimal, date_order=order, memo={}, counts={})
        return False


def open_long(
    path: Path,
    settings: Settings,
    today: date,
    answers: Answers,
    remembered: Mapping[str, Mapping[str, Any]],
) -> LongFile | None:
    """The file, ready for its blocks; None where its shape needs the careful reader throughout
    (sections, descriptions, no years, UTF-16).

    Raises Refused where it is no table of units.
    """
    with path.open("rb") as handle:
        data = handle.read(_SAMPLE)
    end = data.rfind(b"\n")
    if end < 0:
        return None
    data = data[: end + 1]
    decoded = decode(data, str(path), answers.encoding or None)
    if decoded.encoding.startswith(("utf-16", "utf-32", WEB_PAGE)):
        return None
    lines = lines_of(decoded.text)
    prepared = prepare(
        lines, decoded, Given(str(path), settings, today, answers, remembered=remembered)
    )
    rules, headless = prepared.rules, prepared.header.line == 0
    by_row = (rules.fills, rules.describe, rules.years, headless, rules.by_line, rules.unsure)
    if any(by_row) or data.count(b"\r") != data.count(b"\r\n"):
        return None
    n_lines = prepared.body[0].line - 1 if prepared.body else len(lines)
    start = 0
    for _ in range(n_lines):
        start = data.index(b"\n", start) + 1
    # The others are met again in the blocks
    prepared.skipped[:] = [line for line in prepared.skipped if line.line <= n_lines]
    return LongFile(path, prepared, answers, start, n_lines + 1)
