"""What a fit learns from, short records and long ones alike, and the numbers that it makes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, Any

from pricing.basis.columns import BY_NAME, ENDED
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.late import pa, pc
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model.fold import Fold, over
from pricing.model.known import known_by
from pricing.pipeline import cluster as clusters
from pricing.record import entries, months
from pricing.record.current import read_current, units_for_models
from pricing.record.months import read_part

if TYPE_CHECKING:
    from pricing.basis.units import Units
    from pricing.model.price.price import PriceNumbers
    from pricing.model.price.sums import Summed
    from pricing.model.saletime.saletime import SaleTimeModel
    from pricing.model.saved import NewNumbers
    from pricing.pipeline.gathering import Gathered
    from pricing.record.since import Stood

# Rows of a record that is read into memory whole; a longer one goes by parts, on one machine as on
# a cluster.
SHORT = 20_000
MOST_OPEN = 50_000  # units not ended that travel with the saved numbers
PASSES, LEARNING = 3, "Learning from the sales"  # over a long record, and what is read meanwhile
_UNREAD = {"note", "serial", "model", "recall_checked"}  # nothing is learned from them
LEARNED_FROM = [*(name for name in BY_NAME if name not in _UNREAD), "extra"]
Tell = Callable[[float, str], None]


@frozen
class KeptSums:
    """What is kept of a long fit beside its numbers. settings: with the form of the file; as_of,
    learned: its day, and the day when scales were learned; sales, moved, late: sales at the
    learning, units that are others since, sales since of a month not learned yet; price: with the
    ranges as learned, not yet widened; first: what of a first pass can be taken off again."""

    stood: Stood
    settings: str
    as_of: str
    learned: str
    sales: int
    moved: int
    late: int
    price: PriceNumbers
    saletime: SaleTimeModel
    summed: Summed
    first: Gathered


@frozen
class Source:
    """What a fit learns from: passes over its units, what identifies it, open units as plain rows;
    everything: the units where they are few enough to be held at once; kept: the sums of a long
    record that were brought up to date, without a pass."""

    fold: Fold
    content: str
    open_units: list[dict[str, object]]
    everything: Units | None
    kept: KeptSums | None = None


@frozen
class Numbers:
    """new: what is saved of a fit; suspects: where slips are looked for; others: as in `Fitted`."""

    new: NewNumbers
    suspects: Units
    on_top: OnTop | None = None
    kept: KeptSums | None = None


@contextmanager
def source_of(
    home: Home,
    settings: Settings,
    as_of: date,
    cluster: str,
    data_set: str,
    tell: Tell = lambda share, what: None,
) -> Iterator[Source]:
    """The record in memory where it is short; else its data set by month, here or on a cluster."""
    day = float(as_of.toordinal())
    n_rows = 0 if data_set else sum(entry.rows for entry in entries.load(home).counting())
    if not data_set and n_rows <= SHORT:
        table = read_current(home) if n_rows else None
        every = from_rows([]) if table is None else units_for_models(table, settings)
        units, still = known_by(every, day), [] if table is None else open_rows(table)
        yield Source(over(units), entries.content_hash(home), still, units)
        return
    tell(0.0, "Sorting the record by month")
    found = months.read_listing(data_set) if data_set else _months_of(home)
    parts = months.parts(found)
    read = partial(units_of, settings=settings, day=day)
    open_units = _open_of(found)

    def learning(done: int) -> None:
        tell(done / (PASSES * len(parts)), LEARNING)

    if cluster:
        with clusters.workers(cluster) as client:
            clusters.check(client, found)
            fold = clusters.fold_on(client, parts, read, learning)
            yield Source(fold, found.content, open_units, None)
        tell(1.0, "")
        return
    looked_at = found.files if data_set else ()
    if problems := [x for file in looked_at for x in months.check_file(found.where, file)]:
        raise Refused(*problems[:5])
    yield Source(over(_Parts(parts, read, learning)), found.content, open_units, None)
    tell(1.0, "")


def _months_of(home: Home) -> months.DataSet:
    """The data set of the home's own record."""
    return months.of_home(home, entries.content_hash(home))


def units_of(part: months.Part, settings: Settings, day: float) -> Units:
    """The units of a part as they were known on a day. Pure: a cluster's worker runs it."""
    columns = LEARNED_FROM if settings.attributes else LEARNED_FROM[:-1]
    return known_by(units_for_models(read_part(part, columns), settings), day)


class _Parts:
    """Parts that are read anew each time they are gone through. tell: called with how many were."""

    def __init__(
        self, parts: Sequence[months.Part], read: Any, tell: Callable[[int], None]
    ) -> None:
        self.parts, self.read, self.tell, self.done = parts, read, tell, 0

    def __iter__(self) -> Iterator[Units]:
        for part in self.parts:
            yield self.read(part)
            self.done += 1
            self.tell(self.done)


def _open_of(found: months.DataSet) -> list[dict[str, object]]:
    """The units of a data set that have not ended; of very many the last ones written."""
    rows: list[dict[str, object]] = []
    for part in reversed(months.parts(found, unsold=True)):
        rows = [*open_rows(months.read_part(part, BY_NAME)), *rows]
        if len(rows) >= MOST_OPEN:
            break
    return rows[-MOST_OPEN:]


def open_rows(table: pa.Table) -> list[dict[str, object]]:
    """The units that have not ended, as plain rows: dates as text, money as numbers, no blanks."""
    away = pa.array([*ENDED, "kept", "trip", "expense"])
    said = pc.is_in(table.column("outcome").cast("string"), value_set=away)
    ended = pc.or_(said, pc.is_valid(table.column("sold")))
    names = [name for name in BY_NAME if name in table.column_names]
    rows = table.filter(pc.invert(pc.fill_null(ended, False))).select(names).to_pylist()
    told = ([(name, x) for name, x in row.items() if x not in (None, "")] for row in rows)
    return [{name: _plain(value) for name, value in row} for row in told]


@frozen
class GroupNumbers:
    """Where a member's numbers came from: day of the group's fit, its sales, own ones, people."""

    owner: str
    day: date
    sales: int
    own: int
    people: int


@frozen
class OnTop:
    """What a fit rests on beside own rows: own sales after (`fresh`) and before the group's fit,
    and whether settings that numbers are learned with changed since."""

    group: GroupNumbers
    fresh: int
    earlier: int
    other_settings: bool


def _plain(value: object) -> object:
    if isinstance(value, date):
        return value.isoformat()
    return float(value) if isinstance(value, Decimal) else value
