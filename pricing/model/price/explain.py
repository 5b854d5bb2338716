"""Why the price is what it is: every term in money, and where the uncertainty comes from. numpy
only.

The logs of the terms are added in one fixed order and turned to money as they are added, each
partial sum rounded to the cent, so that the terms add up to the answer exactly and do not depend on
the order of columns or of rows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from pricing.basis.assumed import MIDDLE_AGE
from pricing.basis.frozen import frozen
from pricing.basis.units import Coded, Units
from pricing.model.price import encode
from pricing.model.price.encode import Encoding, Rows
from pricing.model.price.price import PriceNumbers

FIRST = ("age", "condition", "maker")
LAST = ("fine pattern", "sold_where", "season", "prices lately")
OF_THE_DAY = ("season", "prices lately")


@frozen
class Behind:
    """What the terms of many units have in common as of a day. names: term of each column;
    coefficients: prior means included; prior: these means alone, (p,) each; usual: the usual unit
    of each type; rows: the units themselves, where they were read together.
    """

    names: tuple[str, ...]
    coefficients: np.ndarray
    prior: np.ndarray
    usual: Mapping[str, Rows]
    rows: Rows | None = None


def behind(
    model: PriceNumbers, types: Iterable[str], day: float, units: Units | None = None
) -> Behind:
    """What `terms` needs beside the unit itself, for units of these types; units: all of them, to
    be read once."""
    prior = np.concatenate([block.mean for block in model.encoding.blocks])
    usual = {name: encode.read(model.encoding, _usual_unit(model, name), day) for name in types}
    return Behind(
        tuple(column_terms(model.encoding)),
        model.mean + prior,
        prior,
        usual,
        None if units is None else encode.read(model.encoding, units, day),
    )


def terms(
    model: PriceNumbers, units: Units, day: float, common: Behind | None = None, place: int = 0
) -> list[tuple[str, float]]:
    """Terms of the one unit's typical price in money: the usual price of its type first, then what
    makes this unit differ; their sum is the answer to 0.01.

    The usual unit of a type is of the usual age of your units of it, good, of no particular make,
    without features.
    common: `behind` of the unit's type on this day, where it is at hand already; place: of the unit
    in its rows.
    """
    logs = log_terms(model, units, day, common, place)
    out: list[tuple[str, float]] = []
    total, before = 0.0, 0.0
    for name, value in logs:
        total += value
        now = round(float(np.exp(total)), 2)
        if now != before:
            out.append((name, round(now - before, 2)))
        before = now
    return out


def log_terms(
    model: PriceNumbers, units: Units, day: float, common: Behind | None = None, place: int = 0
) -> list[tuple[str, float]]:
    """The same in logs, zero terms left out but the first."""
    if units.n != 1:
        raise ValueError("terms are for one unit")
    type_name = (units.word("type").texts() or [""])[0]
    common = common or behind(model, [type_name], day)
    rows, at = (
        (encode.read(model.encoding, units, day), 0)
        if common.rows is None
        else (common.rows, place)
    )
    usual = common.usual[type_name]
    values: dict[str, float] = {}
    base = float(usual.start[0])
    for name, here, there in zip(
        common.names,
        (rows.columns[at] * common.coefficients).tolist(),
        (usual.columns[0] * common.coefficients).tolist(),
        strict=True,
    ):
        if name == "type":
            base += here
        elif name in OF_THE_DAY:
            values[name] = values.get(name, 0.0) + here
        else:
            base += there
            values[name] = values.get(name, 0.0) + here - there
    # The starting slope is part of what age moves: offset = start + slope * line + Z prior
    slopes = [
        float(r.offset[i] - r.start[i] - r.columns[i] @ common.prior)
        for r, i in ((rows, at), (usual, 0))
    ]
    base += slopes[1]
    values["age"] = (
        values.get("age", 0.0) + slopes[0] - slopes[1] + values.pop("age not known", 0.0)
    )
    ordered = sorted((name for name, value in values.items() if abs(value) > 1e-9), key=_place)
    return [(f"usual {type_name}" if type_name else "usual price", base)] + [
        (_said(name, units, model, type_name), values[name]) for name in ordered
    ]


def _usual_unit(model: PriceNumbers, type_name: str) -> Units:
    age = model.usual_age.get(type_name, MIDDLE_AGE)
    return Units(
        1,
        {"age": np.array([age])},
        {"type": Coded.of([type_name]), "condition": Coded.of(["good"])},
    )


def column_terms(encoding: Encoding) -> list[str]:
    """The term of each column: the term of its block; a feature is a term of its own, with all its
    products; an age product of the type is age."""
    names: list[str] = []
    for block in encoding.blocks:
        sides = [
            encoding.margins[side] if side < len(encoding.margins) else None
            for side in (block.left, block.right)
        ]
        for pair in block.pairs.tolist():
            listed = [
                f"{m.column}: {m.labels[k]}"
                for m, k in zip(sides, pair, strict=True)
                if m is not None and m.kind == "words"
            ]
            names.append(
                listed[0] if listed else "type" if block.term in ("level", "type") else block.term
            )
    return names


def _place(name: str) -> tuple[int, str]:
    head = name.split(":")[0]
    if head in FIRST:
        return FIRST.index(head), name
    return (100 + LAST.index(head), name) if head in LAST else (50, name)


def _said(name: str, units: Units, model: PriceNumbers, type_name: str) -> str:
    """The term in the person's words."""
    if name == "age":
        return _age_said(units, model.usual_age.get(type_name, MIDDLE_AGE))
    if name == "fine pattern":
        return "this combination"
    if name == "season":
        return "time of year"
    if name.startswith("features: "):
        return name.removeprefix("features: ")
    if name == "usual price":
        return "your usual price"
    if name == "owner":
        return "your prices beside the group's"
    word = (units.word(name).texts() or [""])[0] if name in units.words else ""
    if name == "sold_where":
        return f"sold by {word}" if word else "where it sells"
    return f"{name} {word}" if word and not name.startswith("repair") else name


def _age_said(units: Units, usual: float) -> str:
    age = float(units.number("age")[0])
    if not np.isfinite(age):
        return "age not known"
    years = age - usual
    if abs(years) < 0.5:
        return "age"
    count = "a year" if abs(years) < 1.5 else f"{abs(years):.0f} years"
    return f"{count} {'older' if years > 0 else 'younger'} than usual"
