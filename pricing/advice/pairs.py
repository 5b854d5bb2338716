"""A matching washer and dryer of the record: as a pair and as two (`formulas/pair`)."""

import math
from collections.abc import Mapping
from datetime import date
from typing import Any

import numpy as np

from pricing.basis.own_rows import assumed_types, generic_type
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.formulas import pair
from pricing.model.price import price
from pricing.model.saved import Saved


def pair_of(
    question: Question, numbers: Saved, settings: Settings, as_of: date
) -> dict[str, Any] | None:
    """The question's unit as a pair and as two, where its type or its record names the other."""
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
    """The open unit that this one is written down with, either way round or by a shared name."""
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
) -> dict[str, Any]:
    day = float(as_of.toordinal())
    rows = from_rows([{**washer, "type": kind}, washer, dryer], settings.number_attributes)
    law = price.law(numbers.price, rows, day)
    whole, *each = zip(law.center.tolist(), law.spread.tolist(), strict=True)
    start, sure, n_linked = premium(numbers, kind, settings)
    found = (price.n_of_type(numbers.price, kind), n_linked, float(law.removed[0]))
    types = (str(washer["type"]), str(dryer["type"]))
    return pair.told(types, whole, each, (start, sure), found)


def premium(numbers: Saved, kind: str, settings: Settings) -> tuple[float, float, int]:
    """Mean and sd of the premium in log points after the linked sales, and how many pairs."""
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
    two = (slice(i, i + 2) for i in range(0, len(rows), 2))
    found = [math.log(sum(brought[both]) / sum(worth[both])) for both in two]
    return *pair.premium(start, found), len(found)
