"""The record as it stands: one row a unit, the newest entry leading; and the same as the models
read it."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from pricing.basis.columns import BY_NAME
from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units, from_arrow
from pricing.ledger.batches import Entry, load, read_runs, schema, steadily

if TYPE_CHECKING:
    import pyarrow as pa


def read_current(home: Home) -> pa.Table:
    """One row a unit: every column, then extra, said, line, key, file, batch. Every batch that
    counts is verified first.

    Raises Refused naming the file where a batch is missing or damaged. A reader that meets a
    compaction reads once more.
    """
    return steadily(home, lambda: newest(read_entries(home, load(home).counting())))


def read_entries(home: Home, entries: tuple[Entry, ...]) -> pa.Table:
    """All rows of some entries, oldest first, each with the name of its file and the number of its
    batch."""
    import numpy as np
    import pyarrow as pa

    tables = []
    for run, table in read_runs(home, entries):
        sources = [str(entry.source.get("name", "")) for entry in run]
        names = {name: place for place, name in enumerate(dict.fromkeys(sources))}
        rows = [entry.rows for entry in run]
        places = np.repeat(np.array([names[name] for name in sources], dtype=np.int32), rows)
        numbers = np.repeat(np.array([entry.number for entry in run], dtype=np.int32), rows)
        name = pa.DictionaryArray.from_arrays(pa.array(places), pa.array(list(names), pa.string()))
        tables.append(table.append_column("file", name).append_column("batch", pa.array(numbers)))
    if not tables:
        empty = (
            schema()
            .append(pa.field("file", pa.dictionary(pa.int32(), pa.string())))
            .append(pa.field("batch", pa.int32()))
        )
        return empty.empty_table()
    return pa.concat_tables(tables).unify_dictionaries()


def newest(table: pa.Table) -> pa.Table:
    """The last row of each key, in the order in which the keys were last written."""
    import numpy as np
    import pyarrow as pa

    if table.num_rows == 0:
        return table
    places = pa.table(
        {"key": table.column("key"), "place": pa.array(np.arange(table.num_rows, dtype=np.int64))}
    )
    last = places.group_by("key").aggregate([("place", "max")]).column("place_max").to_numpy()
    return table if len(last) == table.num_rows else table.take(pa.array(np.sort(last)))


def units_for_models(table: pa.Table, settings: Settings) -> Units:
    """The current record as the models read it; the person's own attributes are taken out of
    `extra`."""
    columns = [name for name in BY_NAME if name in table.column_names]
    units = from_arrow(table.select(columns))
    if not settings.attributes:
        return units
    import numpy as np

    texts = table.column("extra").to_pylist()
    rows: list[dict[str, Any]] = [json.loads(text) if text else {} for text in texts]
    added: dict[str, Any] = {}
    for name, kind in settings.attributes.items():
        if kind in ("number", "log"):
            added[name] = np.array(
                [
                    float(value) if isinstance(value := row.get(name), (int, float)) else np.nan
                    for row in rows
                ]
            )
        else:
            added[name] = Coded.of(
                None if (value := row.get(name)) is None else str(value) for row in rows
            )
    return units.replaced(**added)
