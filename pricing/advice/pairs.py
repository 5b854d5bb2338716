"""A matching washer and dryer: what they bring as a pair and what as two, with the premium that the
person's own sales show.

    ln(price of the pair) = ln(washer + dryer) + premium,      premium ~ N(p_0, .10^2),  p_0 from
        the starting prices

Sales of two units written down as a pair say how large the premium is (each with sd .20 log
points); sales of the type "pair" itself say what a pair brings. Both answers are weighed by how
sure each is. Own judgement: .10 and .20.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.units import Units, from_rows
from pricing.model.price import price
from pricing.model.standing import standing

if TYPE_CHECKING:
    from datetime import date

    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved

PREMIUM_SD, SALE_SD = 0.10, 0.20


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


def halves(type_name: str, fuel: str, known: Sequence[str] = ()) -> tuple[str, str] | None:
    """The two units that a pair type is made of; None for a type that is no pair.

    known: the person's own types, commonest first: a pair that names no kind of washer is made of
    the kinds sold most.

    >>> halves("front-load washer + dryer pair", "gas")
    ('front-load washer', 'gas dryer')
    >>> (halves("laundry pair", "", ["gas dryer", "electric dryer", "front-load washer"]),
    ...  halves("wall oven", ""))
    (('front-load washer', 'gas dryer'), None)
    """
    words = type_name.replace("+", " ").split()
    if not {"pair", "set"} & set(words) or not {"washer", "dryer", "laundry"} & set(words):
        return None
    own_washer = next(
        (name for name in known if name.endswith("washer") and "dish" not in name),
        "top-load washer",
    )
    own_dryer = next((name for name in known if name.endswith("dryer")), "electric dryer")
    washer = next(
        (name for name in ("front-load washer", "top-load washer") if name.split()[0] in words),
        own_washer,
    )
    dryer = (
        "gas dryer"
        if fuel == "gas" or "gas" in words
        else "electric dryer"
        if fuel or "electric" in words
        else own_dryer
    )
    return washer, dryer


def type_of(washer: str) -> str:
    """The pair type that a washer belongs to."""
    return "front-load washer + dryer pair" if "front" in washer else "top-load washer + dryer pair"


def pair_of(question: Question, numbers: Saved, settings: Settings, as_of: date) -> Pair | None:
    """The question's unit as a pair and as two: where its type is a pair, or its record names the
    unit that it goes with."""
    unit = {
        name: value
        for name, value in question.unit.items()
        if name in ("age", "maker", "tier", "condition", "features", "finish")
    }
    by_count = sorted(numbers.price.types, key=lambda name: (-numbers.price.types[name], name))
    parts = halves(question.type, str(question.unit.get("fuel") or ""), by_count)
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
        kind = type_of(str(washer["type"]))
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
    alone = np.exp(law.center[1:])
    start, sure, n_linked = premium(numbers, kind, settings)
    share = alone / alone.sum()
    by_sum, by_sum_variance = (
        float(np.log(alone.sum())) + start,
        float(share**2 @ law.spread[1:] ** 2) + sure**2,
    )
    weight = by_sum_variance / (by_sum_variance + float(law.spread[0]) ** 2)
    center = weight * float(law.center[0]) + (1 - weight) * by_sum
    n_pairs = price.n_of_type(numbers.price, kind)
    removed = max(1 - (sure / PREMIUM_SD) ** 2, float(law.removed[0]) if n_pairs else 0.0)
    return Pair(
        as_pair=float(np.exp(center)),
        as_two=((str(washer["type"]), float(alone[0])), (str(dryer["type"]), float(alone[1]))),
        premium=float(np.exp(center) / alone.sum() - 1),
        n=n_pairs + n_linked,
        standing=standing(removed, n_pairs + n_linked),
    )


def premium(numbers: Saved, kind: str, settings: Settings) -> tuple[float, float, int]:
    """Mean and sd of the premium in log points after the linked sales that travel with the saved
    numbers, and how many pairs they are."""
    table = assumed.assumed_types(settings)
    parts = halves(kind, "") or ("top-load washer", "electric dryer")
    whole, first, second = (
        table.get(name, assumed.GENERIC_TYPE).price
        for name in (kind if kind in table else type_of(parts[0]), *parts)
    )
    start = float(np.clip(np.log(whole / (first + second)), -0.2, 0.3))
    pairs = linked(numbers.similar)
    if not pairs:
        return start, PREMIUM_SD, 0
    rows = [row for pair in pairs for row in pair]
    units: Units = from_rows(
        [{k: v for k, v in row.items() if k != "pull"} for row in rows], settings.number_attributes
    )
    center = price.law(numbers.price, units, units.number("sold")).center
    found = [
        np.log(rows[2 * i]["price"] + rows[2 * i + 1]["price"])
        - np.log(np.exp(center[2 * i : 2 * i + 2]).sum())
        for i in range(len(pairs))
    ]
    precision = PREMIUM_SD**-2 + len(found) * SALE_SD**-2
    return (
        float((start * PREMIUM_SD**-2 + np.sum(found) * SALE_SD**-2) / precision),
        float(precision**-0.5),
        len(found),
    )


def linked(sales: Sequence[Mapping[str, Any]]) -> list[tuple[Mapping[str, Any], Mapping[str, Any]]]:
    """Sales that were written down as pairs, a washer and a dryer each: by the unit that each
    names, or by a name they share.

    >>> one = {"unit": "7", "pair": "8", "type": "top-load washer"}
    >>> two = {"unit": "8", "type": "gas dryer"}
    >>> linked([one, {"unit": "9", "type": "gas dryer"}, two]) == [(one, two)]
    True
    """
    by_unit = {str(row.get("unit") or ""): row for row in sales}
    shared: dict[str, list[Mapping[str, Any]]] = {}
    out: list[tuple[Mapping[str, Any], Mapping[str, Any]]] = []
    used: set[int] = set()
    for row in sales:
        said = str(row.get("pair") or "").strip()
        if not said:
            continue
        mate = by_unit.get(said)
        if mate is None or mate is row:
            shared.setdefault(said, []).append(row)
            continue
        _match(row, mate, used, out)
    for rows in shared.values():
        if len(rows) == 2:
            _match(rows[0], rows[1], used, out)
    return out


def _match(
    one: Mapping[str, Any],
    two: Mapping[str, Any],
    used: set[int],
    out: list[tuple[Mapping[str, Any], Mapping[str, Any]]],
) -> None:
    washer, dryer = sorted((one, two), key=lambda row: "dryer" in str(row.get("type")))
    fits = (
        "washer" in str(washer.get("type"))
        and "dryer" not in str(washer.get("type"))
        and "dryer" in str(dryer.get("type"))
    )
    if fits and not {id(washer), id(dryer)} & used:
        used.update((id(washer), id(dryer)))
        out.append((washer, dryer))
