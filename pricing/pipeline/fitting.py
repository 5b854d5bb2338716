"""The story of a fit: the record -> units -> price, repair and sale-time numbers -> one saved file."""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pricing.records.home import Home
from pricing.records.record import record
from pricing.records.settings import Settings, settings_digest

if TYPE_CHECKING:
    import pyarrow as pa

    from pricing.model.learned import Learned
    from pricing.model.saved import Saved
    from pricing.model.slips import Slip
    from pricing.records.units import Units


@record
class Moved:
    """The typical price of a type's usual unit after this fit and after the one before, money."""

    type: str
    before: float
    now: float


@record
class Fitted:
    """What a fit made: the file, what it was learned from, and the numbers themselves.

    learned: what a year, a grade, a feature, a maker is worth; slips: prices and ages that look like slips of the fingers, the least
    likely first; phone: the phone's file where it was written anew; moved: how the answers moved since the fit before, commonest types first.
    """

    path: Path
    n_units: int
    n_sold: int
    saved: Saved
    learned: tuple[Learned, ...]
    slips: tuple[Slip, ...]
    phone: Path | None
    moved: tuple[Moved, ...]


def fit(home: Home, settings: Settings, as_of: date) -> Fitted:
    """Fit everything to the record as of a day and save it under the next number. Works with no unit at all.

    Raises Refused where a stored batch is damaged or the home cannot be written.
    """
    from pricing.advice import similar, spot
    from pricing.ledger import lock
    from pricing.ledger.batches import content_hash
    from pricing.ledger.current import read_current, units_for_models
    from pricing.model import learned, price_fit, repair_fit, saletime_fit, saved, slips
    from pricing.model.known import known_by
    from pricing.pipeline import proving
    from pricing.records.units import from_rows

    with lock.writing(home, folder=home.models):  # an older fit must not finish over a newer one
        before = _before(home)
        table = read_current(home) if home.batches.is_dir() else None
        units = units_for_models(table, settings) if table is not None else from_rows([])
        units = known_by(units, as_of.toordinal())
        price_model = proving.as_wide_as_reached(home, price_fit.fit_price(units, settings, as_of))
        repair_model = repair_fit.fit_repair(units, settings, as_of)
        saletime_model = saletime_fit.fit_saletime(units, price_model, settings, as_of)
        path = saved.save(
            home,
            as_of=as_of,
            record=content_hash(home) if table is not None else "",
            settings=settings_digest(settings),
            price_model=price_model,
            repair_model=repair_model,
            saletime_model=saletime_model,
            similar=similar.recent_sales(units, price_model),
            words=own_words(units),
            spot_a_day=spot.spot_price(units, price_model, saletime_model, settings, as_of),
            open_units=open_rows(table) if table is not None else [],
        )
    now = saved.load_file(path)
    n_sold = int((units.number("price") > 0).sum())
    found = tuple(learned.learned(now.price, float(as_of.toordinal())))
    return Fitted(path, units.n, n_sold, now, found, tuple(slips.slips(price_model, units, as_of)), _phone(home, settings, as_of), _moved(before, now, as_of))


def _phone(home: Home, settings: Settings, as_of: date) -> Path | None:
    """Write the phone's file anew where there is one; that it cannot be written now is no reason to lose the fit."""
    from pricing.pipeline import phoning
    from pricing.records.problems import Refused

    try:
        return phoning.rewrite(home, settings, as_of)
    except Refused:
        return None


def _before(home: Home) -> Saved | None:
    """The numbers of the fit before, where they can be read: they serve only to say what moved."""
    from pricing.model import saved
    from pricing.records.problems import Refused

    try:
        return saved.load(home)
    except Refused:
        return None


def _moved(before: Saved | None, now: Saved, as_of: date, most: int = 5) -> tuple[Moved, ...]:
    from pricing.model import price
    from pricing.records.units import from_rows

    if before is None:
        return ()
    names = [name for name, _ in sorted(now.price.types.items(), key=lambda pair: (-pair[1], pair[0]))[:most] if name]
    units = from_rows([{"type": name, "age": now.price.usual_age.get(name, 6.5), "condition": "good"} for name in names])
    day = float(as_of.toordinal())
    old, new = (np.exp(price.law(saved.price, units, day).center) for saved in (before, now))
    return tuple(Moved(name, float(a), float(b)) for name, a, b in zip(names, old, new, strict=True))


def own_words(units: Units, most: int = 200) -> dict[str, list[str]]:
    """The person's own words by column, commonest first."""
    found: dict[str, list[str]] = {}
    for name in ("type", "maker", "features", "fault", "found", "repair", "got_from", "sold_where"):
        column, counts = units.word(name), Counter[str]()
        for code, count in zip(*np.unique(column.codes[column.codes >= 0], return_counts=True), strict=True):
            for word in column.levels[code].split("; "):
                counts[word] += int(count)
        found[name] = [word for _, word in sorted((-count, word) for word, count in counts.items())][:most]
    return found


def open_rows(table: pa.Table) -> list[dict[str, object]]:
    """The units that have not ended, as plain rows: dates as ISO text, money as numbers, blanks left out."""
    import pyarrow as pa
    import pyarrow.compute as pc

    from pricing.records.columns import BY_NAME, ENDED

    away = pa.array([*ENDED, "kept", "trip", "expense"])
    ended = pc.or_(pc.is_in(table.column("outcome").cast("string"), value_set=away), pc.is_valid(table.column("sold")))
    rows = table.filter(pc.invert(pc.fill_null(ended, False))).select([name for name in BY_NAME if name in table.column_names]).to_pylist()
    return [{name: _plain(value) for name, value in row.items() if value not in (None, "")} for row in rows]


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, date) else float(value) if isinstance(value, Decimal) else value

