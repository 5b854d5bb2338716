"""A matching washer and dryer of the record: what they bring as a pair and what as two
(`formulas/pair`)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_types, generic_type
from pricing.basis.units import Units, from_rows
from pricing.formulas import pair
from pricing.formulas.standing import standing
from pricing.model.price import price

if TYPE_CHECKING:
    from datetime import date

    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved


@frozen
class Pair:
    """as_pair: money for both together; as_two: what each is and brings by itself; premium: share
    more (or less) as a pair; n: own sales of pairs behind it; standing: of the premium."""

    as_pair: float
    as_two: tuple[tuple[str, float], tuple[str, float]]
    premium: float
    n: int
    standing: str

    def as_dict(self) -> dict[str, Any]:
        return {
            "as_pair": self.as_pair,
            "as_two": [{"type": name, "price": money} for name, money in self.as_two],
            "premium": self.premium,
            "sales": self.n,
            "standing": self.standing,
        }


def pair_of(question: Question, numbers: Saved, settings: Settings, as_of: date) -> Pair | None:
    """The question's unit as a pair and as two: where its type is a pair, or its record names the
    unit that it goes with."""
    unit = {
        name: value
        for name, value in question.unit.items()
        if name in ("age", "maker", "tier", "condition", "features", "finish")
    }
    by_count = sorted(numbers.price.types, key=lambda name: (-numbers.price.types[name], name))
    parts = pair.halves(question.type, str(question.unit.get("fuel") or ""), by_count)
    if parts is not None:
        washer, dryer = ({**unit, "type": part} for part in parts)
        kind = question.type
    else:
        mate = _mate(question.unit, numbers)
        if mate is None:
            return None
        two = sorted((dict(question.unit), mate), key=lambda row: "dryer" in str(row.get("type")))
        washer, dryer = (
            {
                k: v
                for k, v in row.items()
                if k in (*unit, "type", "age", "maker", "condition", "features")
            }
            for row in two
        )
        if "washer" not in str(washer.get("type")) or "dryer" not in str(dryer.get("type")):
            return None
        kind = pair.type_of(str(washer["type"]))
    return _priced(washer, dryer, kind, numbers, settings, as_of)


def _mate(unit: Mapping[str, Any], numbers: Saved) -> dict[str, Any] | None:
    """The open unit that this one is written down with, either way round or by a name they
    share."""
    own, said = str(unit.get("unit") or ""), str(unit.get("pair") or "").strip()
    if not said:
        return None
    names = {said, own} - {""}
    others = [row for row in numbers.open_units() if str(row.get("unit") or "") != own]
    return next(
        (
            row
            for row in others
            if str(row.get("unit") or "") == said or str(row.get("pair") or "").strip() in names
        ),
        None,
    )


def _priced(
    washer: Mapping[str, Any],
    dryer: Mapping[str, Any],
    kind: str,
    numbers: Saved,
    settings: Settings,
    as_of: date,
) -> Pair:
    day = float(as_of.toordinal())
    rows = from_rows([{**washer, "type": kind}, washer, dryer], settings.number_attributes)
    law = price.law(numbers.price, rows, day)
    whole, *each = zip(law.center.tolist(), law.spread.tolist(), strict=True)
    start, sure, n_linked = premium(numbers, kind, settings)
    as_pair, more = pair.weighed(whole, each, start, sure)
    n_pairs = price.n_of_type(numbers.price, kind)
    removed = max(1 - (sure / pair.PREMIUM_SD) ** 2, float(law.removed[0]) if n_pairs else 0.0)
    alone = np.exp(law.center[1:]).tolist()
    return Pair(
        as_pair=as_pair,
        as_two=((str(washer["type"]), alone[0]), (str(dryer["type"]), alone[1])),
        premium=more,
        n=n_pairs + n_linked,
        standing=standing(removed, n_pairs + n_linked),
    )


def premium(numbers: Saved, kind: str, settings: Settings) -> tuple[float, float, int]:
    """Mean and sd of the premium in log points after the linked sales that travel with the saved
    numbers, and how many pairs they are."""
    table = assumed_types(settings)
    parts = pair.halves(kind, "") or ("top-load washer", "electric dryer")
    whole, first, second = (
        table.get(name, generic_type(settings)).price
        for name in (kind if kind in table else pair.type_of(parts[0]), *parts)
    )
    start = pair.starting_premium(whole, first, second)
    pairs = pair.linked(numbers.similar)
    if not pairs:
        return start, pair.PREMIUM_SD, 0
    rows = [row for two in pairs for row in two]
    units: Units = from_rows(
        [{k: v for k, v in row.items() if k != "pull"} for row in rows], settings.number_attributes
    )
    worth = np.exp(price.law(numbers.price, units, units.number("sold")).center).tolist()
    brought = [row["price"] for row in rows]
    found = [
        math.log(sum(brought[i : i + 2]) / sum(worth[i : i + 2])) for i in range(0, len(rows), 2)
    ]
    return *pair.premium(start, found), len(found)
