"""The current record as a sheet: RFC 4180, UTF-8 with a byte-order mark, text that would start a formula disarmed; or as Parquet.

The person's own words stand in the word columns, so that `add` reads the sheet back to the same record.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from pricing.records.columns import BY_NAME

if TYPE_CHECKING:
    import pyarrow as pa

_STARTS = re.compile("^[\\s\"\ufeff]*'*[\\s\"\ufeff]*[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]")
_NUMBER = re.compile(r"^[+-]?\d+([.,]\d+)?%?$")


def disarm(text: str) -> str:
    """Text that no spreadsheet runs: a quote before what would start a formula; plain numbers stay.

    >>> disarm("=1+1"), disarm("-12.50"), disarm("white")
    ("'=1+1", '-12.50', 'white')
    """
    return "'" + text if _STARTS.match(text) and not _NUMBER.match(text) else text


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[str]], delimiter: str = ",") -> bytes:
    """A sheet as bytes: CRLF, quotes where needed, a byte-order mark, every cell disarmed."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow([disarm(cell) for cell in header])
    for row in rows:
        writer.writerow([disarm(cell) for cell in row])
    return b"\xef\xbb\xbf" + out.getvalue().encode("utf-8", "replace")


def record_csv(table: pa.Table) -> bytes:
    """The current record as CSV: the columns that hold anything, in their usual order, then own attributes and columns we do not know."""
    names = [name for name in BY_NAME if name in ("unit", "type", "sold", "price", "outcome") or table.column(name).null_count < table.num_rows]
    extras: dict[str, None] = {}
    for text in table.column("extra").unique().to_pylist():
        extras |= dict.fromkeys(json.loads(text)) if text else {}
    return csv_bytes([*names, *extras], _rows(table, names, list(extras)))


def _rows(table: pa.Table, names: Sequence[str], extras: Sequence[str]) -> Iterable[list[str]]:
    for batch in table.select([*names, "said", "extra"]).to_batches(max_chunksize=16_384):
        for row in batch.to_pylist():
            said = json.loads(row["said"]) if row["said"] else {}
            extra = json.loads(row["extra"]) if row["extra"] else {}
            yield [*(said.get(name) or _text(row[name]) for name in names), *(_text(extra.get(name)) for name in extras)]


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


def record_parquet(table: pa.Table) -> bytes:
    """The current record as Parquet, with page checksums."""
    import pyarrow.parquet as pq
    from pyarrow import BufferOutputStream

    sink = BufferOutputStream()
    pq.write_table(table, sink, compression="zstd", write_page_checksum=True)
    return bytes(sink.getvalue().to_pybytes())
