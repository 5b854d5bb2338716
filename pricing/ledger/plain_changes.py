"""Changed rows column by column: what `changes.classify` would say of them, for the many of which
that is plain, without a Python object a row.

A row is decided here only where its unit stands once among the rows given, has rows in the record,
and cell for cell either says exactly what the newest of them says, or surely differs from every one
of them and is of the same type. Every other row is left to `classify`.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from pricing.basis.columns import BY_NAME
from pricing.basis.frozen import frozen
from pricing.ledger.batches import schema
from pricing.ledger.changes import taken_from_row

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

# numbers further apart than this differ after rounding to six places; nearer ones are for the exact
# comparison
_APART = 2e-6


@frozen
class Decided:
    """changed: rows to be written, in the record's schema. unchanged: places of the rows that say
    nothing new; newest_known: the latest batch that those know which are no repetition; rest:
    places of the rows that are not decided."""

    changed: pa.Table
    unchanged: np.ndarray
    newest_known: int
    rest: np.ndarray


def decide(
    rows: pa.Table, past: pa.Table | None, columns: Iterable[str], unknown: Iterable[str]
) -> Decided:
    """rows: in the record's schema, with "again": whether the number stood further up in the file.
    past: rows of the record with their "batch", oldest first, in plain text; columns, unknown: as
    for `classify`."""
    import numpy as np
    import pyarrow as pa
    import pyarrow.compute as pc

    everything = np.arange(rows.num_rows)
    if past is None:
        return Decided(schema().empty_table(), everything[:0], 0, everything)
    ids = (
        pa.chunked_array([*rows.column("key").chunks, *past.column("key").chunks], pa.string())
        .combine_chunks()
        .dictionary_encode()
        .indices.to_numpy()
    )
    mine, theirs = ids[: rows.num_rows], ids[rows.num_rows :]
    n_ids = int(ids.max(initial=-1)) + 1
    newest = np.full(n_ids, -1, dtype=np.int64)
    newest[theirs] = np.arange(len(theirs))  # the last one stays
    chosen = np.flatnonzero((np.bincount(mine, minlength=n_ids)[mine] == 1) & (newest[mine] >= 0))
    if not len(chosen):
        return Decided(schema().empty_table(), everything[:0], 0, everything)
    place_of = np.full(n_ids, -1, dtype=np.int64)
    place_of[mine[chosen]] = np.arange(len(chosen))
    before = past.take(pa.array(newest[mine[chosen]]))
    merged = _merged(rows.take(pa.array(chosen)), before, set(columns), set(unknown))

    concerned = np.flatnonzero(place_of[theirs] >= 0)
    owner = place_of[theirs[concerned]]
    equal, apart = _against(merged, past, owner, concerned)
    is_newest = newest[theirs[concerned]] == concerned
    same = np.zeros(len(chosen), dtype=bool)
    same[owner[is_newest]] = equal[is_newest]
    for name in ("said", "extra"):
        same &= _equal(merged.column(name), before.column(name))
    different = np.ones(len(chosen), dtype=bool)
    different[owner[~apart]] = False
    for name in ("type", "owner"):  # another unit, perhaps: looked at row by row
        kinds = (merged.column(name), before.column(name))
        different &= (
            _equal(*kinds) | pc.is_null(kinds[0]).to_numpy() | pc.is_null(kinds[1]).to_numpy()
        )
    first_time = same & ~rows.column("again").take(pa.array(chosen)).to_numpy()
    known = before.column("batch").to_numpy()[first_time]
    rest = np.ones(rows.num_rows, dtype=bool)
    rest[chosen[same | different]] = False
    return Decided(
        merged.filter(pa.array(different)),
        chosen[same],
        int(known.max(initial=0)),
        np.flatnonzero(rest),
    )


def _merged(
    rows: pa.Table, before: pa.Table, has: Collection[str], unknown: Collection[str]
) -> pa.Table:
    """Each row with what the record knows under columns that the file does not have:
    `changes.merge`, in columns."""
    import pyarrow as pa
    import pyarrow.compute as pc

    own = taken_from_row(has) | {"unit"}
    columns = []
    for field in schema():
        mine = rows.column(field.name)
        if field.name in BY_NAME and field.name not in own:
            mine = pc.coalesce(mine, before.column(field.name))
        elif field.name in ("said", "extra"):
            mine = _joined(
                before.column(field.name), mine, has if field.name == "said" else unknown
            )
        columns.append(mine)
    return pa.table(columns, schema=schema())


def _joined(old: pa.ChunkedArray, new: pa.ChunkedArray, has: Collection[str]) -> pa.Array:
    """JSON objects: what the old one holds under other names than the file has, and all that the
    new one holds. Each pair of texts is worked out once."""
    import numpy as np
    import pyarrow as pa

    codes, levels = [], []
    for column in (old, new):
        coded = column.combine_chunks().fill_null("").dictionary_encode()
        codes.append(coded.indices.to_numpy())
        levels.append(coded.dictionary.to_pylist())
    pairs, place = np.unique(
        codes[0].astype(np.int64) * max(len(levels[1]), 1) + codes[1], return_inverse=True
    )
    texts: list[str | None] = []
    for pair in pairs.tolist():
        before, now = levels[0][pair // len(levels[1])], levels[1][pair % len(levels[1])]
        both = {
            name: value for name, value in json.loads(before or "{}").items() if name not in has
        } | json.loads(now or "{}")
        texts.append(json.dumps(both, ensure_ascii=False) if both else None)
    return pa.array(texts, pa.string()).take(pa.array(place))


def _against(
    merged: pa.Table, past: pa.Table, owner: np.ndarray, concerned: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """For each concerned row of the past: whether the merged row that owns it is equal to it in
    every value, and whether it surely differs in one."""
    import numpy as np
    import pyarrow as pa
    import pyarrow.compute as pc

    equal, apart = np.ones(len(concerned), dtype=bool), np.zeros(len(concerned), dtype=bool)
    for name in BY_NAME:
        left, right = merged.column(name), past.column(name)
        if name == "unit" or left.null_count + right.null_count == len(left) + len(right):
            continue
        left, right = left.take(pa.array(owner)), right.take(pa.array(concerned))
        same = _equal(left, right)
        equal &= same
        unlike = ~same
        if pa.types.is_floating(left.type):
            near = pc.less_equal(pc.abs(pc.subtract(left, right)), _APART)
            unlike &= ~pc.fill_null(near, False).to_numpy()
        elif pa.types.is_string(left.type):  # an empty text counts as a blank
            unlike &= ~pc.fill_null(
                pc.or_kleene(pc.equal(left, ""), pc.equal(right, "")), False
            ).to_numpy()
        apart |= unlike
    return equal, apart


def _equal(left: pa.ChunkedArray, right: pa.ChunkedArray) -> np.ndarray:
    """Whether two columns hold the same cells, blanks being the same as blanks."""
    import pyarrow.compute as pc

    found: np.ndarray = pc.or_(
        pc.fill_null(pc.equal(left, right), False), pc.and_(pc.is_null(left), pc.is_null(right))
    ).to_numpy()
    return found
