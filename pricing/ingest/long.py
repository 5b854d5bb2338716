"""A long file: its first lines decide how it is read, its blocks are read in order, and its whole
content has the last word.

Where the whole file shows another date order or decimal mark than its first lines did, the blocks
are read once more.
"""

import os
from collections.abc import Iterator, Mapping, Set
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis.settings import Settings
from pricing.ingest.blocks import Layout, RowBlock, cut, prove, read_block
from pricing.ingest.dialect import lines_of, records
from pricing.ingest.encoding import WEB_PAGE, decode, decode_strays
from pricing.ingest.read import Prepared, prepare
from pricing.ingest.reading import Answers

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
    prepared = prepare(lines, decoded, str(path), settings, today, answers, False, remembered)
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
