"""The own past sales that weigh most in this very answer, each adjusted to this unit and to today.
numpy only.

The typical price of a unit is  offset + z'u  with  u = S Z'W r,  so that sale j enters with the
weight

    a_j = z' S z_j w_j / s_j^2          (w_j: its weight as a t error, s_j: its own scale)

No distance of our own making: a sale of another type counts where the model learned from it.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.units import Units, from_rows
from pricing.formulas import price_terms
from pricing.model.price import encode, price
from pricing.model.price.price import PriceNumbers
from pricing.model.seen import joined, slimmed, sold_rows

KEPT_A_TYPE, KEPT = 40, 2000  # recent sales that travel with the saved numbers
# of these are weighed for one answer: all where there are no more, else the type's own first
LOOKED_AT = 160


@frozen
class Similar:
    """One past sale. price: what it brought; adjusted: what it says here; weight: its say."""

    unit: str
    sold: date
    price: float
    adjusted: float
    weight: float
    said: str


@frozen
class Newest:
    """The newest sales, oldest first: at most 40 a type and 2,000 in all. units, days: (k,)."""

    units: Units
    days: np.ndarray


def newest_of(units: Units, as_of: date) -> Newest:
    """The newest sales of one block."""
    rows, days = sold_rows(units, as_of)
    return _newest(Newest(units.take(rows), days))


def newer(a: Newest, b: Newest) -> Newest:
    """The newest sales of two blocks, `a` before `b`."""
    return _newest(Newest(joined([a.units, b.units]), np.concatenate([a.days, b.days])))


def _newest(sales: Newest) -> Newest:
    """Of one day the last in the order of the record is the newest."""
    codes = sales.units.word("type").codes
    kept: list[int] = []
    counts: dict[int, int] = {}
    for place in np.argsort(sales.days, kind="stable")[::-1].tolist():
        code = int(codes[place])
        counts[code] = counts.get(code, 0) + 1
        if counts[code] <= KEPT_A_TYPE:
            kept.append(place)
            if len(kept) == KEPT:
                break
    rows = np.array(kept[::-1], dtype=int)
    return Newest(slimmed(sales.units.take(rows)), sales.days[rows])


def recent_rows(newest: Newest, model: PriceNumbers) -> list[dict[str, Any]]:
    """The newest sales as they travel with the saved numbers. pull: w_j / s_j^2, the precision with
    which the sale entered, recomputed."""
    sold, days = newest.units, newest.days
    pulls = pull(model, sold, days)
    read = {margin.column for margin in model.encoding.margins}
    names = ["unit", "type", "pair", *sorted(read - {"", "family", "sold", "type", "pair"})]
    words = {name: sold.words[name].texts() for name in names if name in sold.words}
    out: list[dict[str, Any]] = []
    for place in range(sold.n):
        row: dict[str, Any] = {name: texts[place] for name, texts in words.items() if texts[place]}
        for name in names:
            if name in sold.numbers and np.isfinite(sold.numbers[name][place]):
                row[name] = float(sold.numbers[name][place])
        out.append(
            row
            | {
                "sold": float(days[place]),
                "price": float(sold.number("price")[place]),
                "pull": float(pulls[place]),
            }
        )
    return out


def pull(model: PriceNumbers, sold: Units, days: np.ndarray) -> np.ndarray:
    """w_j / s_j^2 of sales, (n,): w = (nu + 1) / (nu + E r^2 / s^2), E r^2 = r^2 + z'S z."""
    if not sold.n:
        return np.zeros(0)
    rows = encode.read(model.encoding, sold, days)
    own = price.own_variance(model, rows)
    residual = np.log(sold.number("price")) - rows.offset - rows.columns @ model.mean
    square = residual**2 + ((rows.columns @ model.factor) ** 2).sum(1)
    return (model.nu + 1) / (model.nu + square / own) / own


@frozen
class Looked:
    """The m sales that are weighed for units of one type. rows: as saved; days, prices, (m,);
    level: ln of their typical price, (m,);
    at: L'z_j, (m, p), so that z'S z_j = (L'z)'(L'z_j); pulls: w_j / s_j^2, (m,)."""

    rows: Sequence[Mapping[str, Any]]
    days: np.ndarray
    prices: np.ndarray
    level: np.ndarray
    at: np.ndarray
    pulls: np.ndarray


def looked_at(
    model: PriceNumbers, recent: Sequence[Mapping[str, Any]], type_name: str
) -> Looked | None:
    """What `closest` needs of the past sales, the same for all of a type; None without a sale."""
    if not recent:
        return None
    types, other = model.encoding.types, model.encoding.other
    family_of = lambda name: types.get(name, other).family  # noqa: E731
    places = price_terms.looked_at(recent, type_name, family_of, LOOKED_AT)
    looked = [recent[i] for i in places]
    kinds = ("number", "hinges")
    numeric = [margin.column for margin in model.encoding.margins if margin.kind in kinds]
    table = from_rows([{k: v for k, v in row.items() if k != "pull"} for row in looked], numeric)
    days = table.number("sold")
    there = encode.read(model.encoding, table, days)
    pulls = np.array([float(row["pull"]) for row in looked])
    return Looked(
        looked,
        days,
        table.number("price"),
        there.offset + there.columns @ model.mean,
        there.columns @ model.factor,
        pulls,
    )


def closest(
    model: PriceNumbers,
    recent: Sequence[Mapping[str, Any]],
    unit: Units,
    day: float,
    most: int = 5,
    looked: Looked | None = None,
    read: tuple[encode.Rows, int] | None = None,
) -> list[Similar]:
    """The sales of `recent` that weigh most in the answer for the unit as of `day`, the heaviest
    first, above 0. looked, read: `looked_at` of its type, and the unit as the model reads it, if at
    hand."""
    if unit.n != 1:
        raise ValueError("similar sales are of one unit")
    past = looked or looked_at(model, recent, (unit.word("type").texts() or [""])[0])
    if past is None:
        return []
    here, place = read or (encode.read(model.encoding, unit, day), 0)
    weights = past.at @ (here.columns[place] @ model.factor) * past.pulls
    apart = here.offset[place] + here.columns[place] @ model.mean - past.level
    adjusted = np.exp(apart) * past.prices
    order = np.lexsort((np.arange(len(weights)), -weights))[:most]
    return [
        Similar(
            str(past.rows[i].get("unit", "")),
            date.fromordinal(int(past.days[i])),
            float(past.prices[i]),
            float(adjusted[i]),
            float(weights[i]),
            price_terms.sale_said(past.rows[i]),
        )
        for i in order.tolist()
        if weights[i] > 0
    ]
