"""The story of a fit: the record -> units -> price, repair and sale-time numbers -> one
saved file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis.columns import BY_NAME, ENDED
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings, settings_digest
from pricing.model.fold import Fold, over

if TYPE_CHECKING:
    import pyarrow as pa

    from pricing.basis.units import Units
    from pricing.model.learned import Learned
    from pricing.model.price.price import PriceNumbers
    from pricing.model.price.slips import Slip
    from pricing.model.repair.repair import RepairModel
    from pricing.model.saletime.saletime import SaleTimeModel
    from pricing.model.saved import Saved
    from pricing.pipeline.gathering import Gathered
    from pricing.pipeline.member_fit import OnTop
    from pricing.record import months

# rows of a record that is read into memory whole; a longer one goes by parts, on one machine as on
# a cluster
SHORT = 20_000
MOST_OPEN = 50_000  # units not ended that travel with the saved numbers
PASSES, LEARNING = (
    3,
    "Learning from the sales",
)  # passes over a long record, and what a person reads meanwhile
Tell = Callable[[float, str], None]


@frozen
class Moved:
    """The typical price of a type's usual unit after this fit and after the one before, money."""

    type: str
    before: float
    now: float


@frozen
class Fitted:
    """What a fit made: the file, what it was learned from, and the numbers themselves.

    learned: what a year, a grade, a feature, a maker is worth; slips: prices and ages that look
    like slips of the fingers, the least likely first; phone: the phone's file where it was written
    anew; moved: how the answers moved since the fit before, commonest types first;
    on_top: in a member's home, what of the group's it rests on.
    """

    path: Path
    n_units: int
    n_sold: int
    saved: Saved
    learned: tuple[Learned, ...]
    slips: tuple[Slip, ...]
    phone: Path | None
    moved: tuple[Moved, ...]
    on_top: OnTop | None = None


@frozen
class Source:
    """What a fit learns from: passes over its units, what identifies it, and the units that have
    not ended as plain rows.

    everything: the units where they are few enough to be held at once.
    """

    fold: Fold
    content: str
    open_units: list[dict[str, object]]
    everything: Units | None


@frozen
class Numbers:
    """What is saved of a fit; of it only `price` is new in a member's home. suspects: the units
    among which slips are looked for; on_top: as in `Fitted`."""

    price: PriceNumbers
    repair: RepairModel
    saletime: SaleTimeModel
    similar: Sequence[Mapping[str, Any]]
    words: Mapping[str, list[str]]
    spot_a_day: float
    open_units: list[dict[str, object]]
    suspects: Units
    on_top: OnTop | None = None


def fit(
    home: Home,
    settings: Settings,
    as_of: date,
    cluster: str = "",
    data_set: str = "",
    tell: Tell = lambda share, what: None,
) -> Fitted:
    """Fit everything to the record as of a day and save it under the next number. Works with no
    unit at all.

    cluster: "local" or a scheduler's address, for a record too long for one process. data_set: a
    folder or address that `months` wrote, instead of the home's own record. tell: called with the
    share done and what is done, while a long record is learned from. Raises Refused where a stored
    batch is damaged or the home cannot be written, or the cluster fails.
    """
    from pricing.model import learned, saved
    from pricing.model.price import slips
    from pricing.pipeline import gathering, member_fit, member_home
    from pricing.record import lock

    with lock.holding(home.models):  # an older fit must not finish over a newer one
        before = _before(home)
        with source_of(home, settings, as_of, cluster, data_set, tell) as source:
            first = source.fold(
                partial(gathering.look_at, settings=settings, as_of=as_of), gathering.added
            )
            group = member_home.group_of(home)
            numbers = (
                _numbers(home, settings, as_of, source, first)
                if group is None
                else member_fit.numbers(home, group, settings, source, first)
            )
        path = saved.save(
            home,
            as_of=as_of,
            record=source.content,
            settings=settings_digest(settings),
            price_model=numbers.price,
            repair_model=numbers.repair,
            saletime_model=numbers.saletime,
            similar=numbers.similar,
            words=numbers.words,
            spot_a_day=numbers.spot_a_day,
            open_units=numbers.open_units,
        )
    now = saved.load_file(path)
    found, suspects = (
        tuple(learned.learned(now.price, float(as_of.toordinal()))),
        tuple(slips.slips(numbers.price, numbers.suspects, as_of)),
    )
    return Fitted(
        path,
        first.n,
        first.n_sold,
        now,
        found,
        suspects,
        _phone(home, settings, as_of),
        _moved(before, now, as_of),
        numbers.on_top,
    )


def _numbers(
    home: Home, settings: Settings, as_of: date, source: Source, first: Gathered
) -> Numbers:
    """The numbers of a record of one's own, or of a group."""
    from pricing.advice import spot
    from pricing.model.price import price_fit, similar
    from pricing.model.repair import repair_fit, skill_fit
    from pricing.model.saletime import saletime_fit
    from pricing.pipeline import gathering, proving

    fitted, far = price_fit.fit_seen(first.seen, source.fold, settings, as_of)
    price_model = proving.as_wide_as_reached(home, fitted)
    saletime_model = saletime_fit.fit_kept(
        first.listed, first.haggled, price_model, settings, as_of
    )
    repairs = repair_fit.fit_sums(first.repairs, settings)
    if len(first.words["owner"]) > 1:  # one more pass, for what differs between people
        repairs = skill_fit.with_people(repairs, source.fold, settings, as_of)
    suspects = source.everything if far is None else far
    return Numbers(
        price_model,
        repairs,
        saletime_model,
        similar.recent_rows(first.newest, price_model),
        gathering.own_words(first.words),
        spot.spot_price(first.turned, price_model, saletime_model, settings, as_of),
        source.open_units,
        first.seen.sample if suspects is None else suspects,
    )


@contextmanager
def source_of(
    home: Home,
    settings: Settings,
    as_of: date,
    cluster: str,
    data_set: str,
    tell: Tell = lambda share, what: None,
) -> Iterator[Source]:
    """The record in memory where it is short; else its data set by month, part by part, here or on
    a cluster."""
    from pricing.basis.units import from_rows
    from pricing.model.known import known_by
    from pricing.record import entries, months
    from pricing.record.current import read_current, units_for_models

    day = float(as_of.toordinal())
    n_rows = 0 if data_set else sum(entry.rows for entry in entries.load(home).counting())
    if not data_set and n_rows <= SHORT:
        table = read_current(home) if n_rows else None
        units = known_by(
            units_for_models(table, settings) if table is not None else from_rows([]), day
        )
        yield Source(
            over(units),
            entries.content_hash(home),
            open_rows(table) if table is not None else [],
            units,
        )
        return
    tell(0.0, "Sorting the record by month")
    found = months.read_listing(data_set) if data_set else _months_of(home)
    parts = months.parts(found)
    read = partial(units_of, settings=settings, day=day)
    open_units = _open_of(found)

    def learning(done: int) -> None:
        tell(done / (PASSES * len(parts)), LEARNING)

    if cluster:
        from pricing.pipeline import cluster as clusters

        with clusters.workers(cluster) as client:
            clusters.check(client, found)
            yield Source(
                clusters.fold_on(client, parts, read, learning), found.content, open_units, None
            )
        tell(1.0, "")
        return
    if data_set and (
        problems := [
            problem for file in found.files for problem in months.check_file(found.where, file)
        ]
    ):
        raise Refused(*problems[:5])
    yield Source(over(_Parts(parts, read, learning)), found.content, open_units, None)
    tell(1.0, "")


def _months_of(home: Home) -> months.DataSet:
    """The data set of the home's own record."""
    from pricing.record import entries, months

    return months.of_home(home, entries.content_hash(home))


def units_of(part: months.Part, settings: Settings, day: float) -> Units:
    """The units of a part as they were known on a day. Pure: a cluster's worker runs it."""
    from pricing.model.known import known_by
    from pricing.record.current import units_for_models
    from pricing.record.months import read_part

    left_out = {"note", "serial", "model", "recall_checked"}  # nothing is learned from them
    columns = [
        name
        for name in (*BY_NAME, *(("extra",) if settings.attributes else ()))
        if name not in left_out
    ]
    return known_by(units_for_models(read_part(part, columns), settings), day)


class _Parts:
    """Parts that are read anew each time they are gone through. tell: called with how many were,
    all times together."""

    def __init__(
        self,
        parts: Sequence[months.Part],
        read: Callable[[months.Part], Units],
        tell: Callable[[int], None],
    ) -> None:
        self.parts, self.read, self.tell, self.done = parts, read, tell, 0

    def __iter__(self) -> Iterator[Units]:
        for part in self.parts:
            yield self.read(part)
            self.done += 1
            self.tell(self.done)


def _open_of(found: months.DataSet) -> list[dict[str, object]]:
    """The units of a data set that have not ended; of very many the last ones written."""
    from pricing.record import months

    rows: list[dict[str, object]] = []
    for part in reversed(months.parts(found, unsold=True)):
        rows = [*open_rows(months.read_part(part, BY_NAME)), *rows]
        if len(rows) >= MOST_OPEN:
            break
    return rows[-MOST_OPEN:]


def _phone(home: Home, settings: Settings, as_of: date) -> Path | None:
    """Write the phone's file anew where there is one; that it cannot be written now is no reason to
    lose the fit."""
    from pricing.pipeline import phoning

    try:
        return phoning.rewrite(home, settings, as_of)
    except Refused:
        return None


def _before(home: Home) -> Saved | None:
    """The numbers of the fit before, where they can be read: they serve only to say what moved."""
    from pricing.model import saved

    try:
        return saved.load(home)
    except Refused:
        return None


def _moved(before: Saved | None, now: Saved, as_of: date, most: int = 5) -> tuple[Moved, ...]:
    from pricing.basis.units import from_rows
    from pricing.model.price import price

    if before is None:
        return ()
    names = [
        name
        for name, _ in sorted(now.price.types.items(), key=lambda pair: (-pair[1], pair[0]))[:most]
        if name
    ]
    units = from_rows(
        [
            {"type": name, "age": now.price.usual_age.get(name, 6.5), "condition": "good"}
            for name in names
        ]
    )
    day = float(as_of.toordinal())
    old, new = (np.exp(price.law(saved.price, units, day).center) for saved in (before, now))
    return tuple(
        Moved(name, float(a), float(b)) for name, a, b in zip(names, old, new, strict=True)
    )


def open_rows(table: pa.Table) -> list[dict[str, object]]:
    """The units that have not ended, as plain rows: dates as ISO text, money as numbers, blanks
    left out."""
    import pyarrow as pa
    import pyarrow.compute as pc

    away = pa.array([*ENDED, "kept", "trip", "expense"])
    ended = pc.or_(
        pc.is_in(table.column("outcome").cast("string"), value_set=away),
        pc.is_valid(table.column("sold")),
    )
    rows = (
        table.filter(pc.invert(pc.fill_null(ended, False)))
        .select([name for name in BY_NAME if name in table.column_names])
        .to_pylist()
    )
    return [
        {name: _plain(value) for name, value in row.items() if value not in (None, "")}
        for row in rows
    ]


def _plain(value: object) -> object:
    return (
        value.isoformat()
        if isinstance(value, date)
        else float(value)
        if isinstance(value, Decimal)
        else value
    )
