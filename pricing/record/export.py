"""The current record as a sheet: RFC 4180, UTF-8 with a byte-order mark, text that would start a
formula disarmed; or as Parquet.

The person's own words stand in the word columns, so that `add` reads the sheet back to the same
record.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.basis.files import Writing
from pricing.basis.home import Home
from pricing.basis.late import pa, pq
from pricing.record.current import schema, tables
from pricing.record.store import reading

_STARTS = re.compile(
    '^[\\s"\ufeff]*\'*[\\s"\ufeff]*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]'
)
_NUMBER = re.compile(r"^[+-]?\d+([.,]\d+)?%?$")


@lru_cache(maxsize=100_000)
def disarm(text: str) -> str:
    """Text that no spreadsheet runs: a quote before what would start a formula; plain numbers stay.

    >>> disarm("=1+1"), disarm("-12.50"), disarm("white")
    ("'=1+1", '-12.50', 'white')
    """
    return "'" + text if _STARTS.match(text) and not _NUMBER.match(text) else text


def csv_bytes(
    header: Sequence[str] | None, rows: Iterable[Sequence[str]], delimiter: str = ","
) -> bytes:
    """A sheet as bytes: CRLF, quotes where needed, a byte-order mark, every cell disarmed. header:
    None for more rows of a sheet begun before."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    if header is not None:
        writer.writerow([disarm(cell) for cell in header])
    for row in rows:
        writer.writerow([disarm(cell) for cell in row])
    return (b"\xef\xbb\xbf" if header is not None else b"") + out.getvalue().encode(
        "utf-8", "replace"
    )


def record_csv(home: Home, owner: str = "") -> Iterator[bytes]:
    """The current record as CSV, piece by piece: the columns that hold anything, in their usual
    order, then own attributes and columns we do not know. The record is read twice: for what it
    holds, and for its rows. owner: of the rows that name none."""
    filled, extras = {"unit", "type", "sold", "price", "outcome"}, dict[str, None]()
    with reading(home) as db:
        for table in tables(db, home):
            n = table.num_rows
            filled |= {name for name in BY_NAME if table.column(name).null_count < n}
            for text in table.column("extra").unique().to_pylist():
                extras |= dict.fromkeys(json.loads(text)) if text else {}
        filled |= {"owner"} if owner else set()
        names = [name for name in BY_NAME if name in filled]
        yield csv_bytes([*names, *extras], ())
        for table in tables(db, home):
            yield csv_bytes(None, _rows(table, names, list(extras), owner))


def _rows(
    table: pa.Table, names: Sequence[str], extras: Sequence[str], owner: str
) -> Iterable[list[str]]:
    own = {"owner": owner}
    for batch in table.select([*names, "said", "extra"]).to_batches(max_chunksize=16_384):
        for row in batch.to_pylist():
            said = json.loads(row["said"]) if row["said"] else {}
            extra = json.loads(row["extra"]) if row["extra"] else {}
            yield [
                *(
                    said.get(name) or _text(own.get(name) if row[name] is None else row[name])
                    for name in names
                ),
                *(_text(extra.get(name)) for name in extras),
            ]


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return f"{value:.2f}"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


def write_parquet(home: Home, out: Writing) -> None:
    """The current record as Parquet, with page checksums, piece by piece: every column, then extra,
    said, line, key, file, batch."""
    told = {"compression": "zstd", "write_page_checksum": True}
    with reading(home) as db, pq.ParquetWriter(out, schema(), **told) as file:
        for table in tables(db, home):
            file.write_table(table)
