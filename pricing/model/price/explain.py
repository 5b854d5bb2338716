"""Why the price is what it is: every term in money; sums and words are `formulas/price_terms`."""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from pricing.basis.assumed import MIDDLE_AGE
from pricing.basis.frozen import frozen
from pricing.basis.units import Coded, Units
from pricing.formulas import price_terms
from pricing.model.price import encode
from pricing.model.price.encode import Rows
from pricing.model.price.price import PriceNumbers


@frozen
class Behind:
    """What the terms of many units have in common as of a day. names: term of each column;
    coefficients: prior means included; prior: these alone, (p,) each; usual: the usual unit of each
    type; rows: the units, where they were read together."""

    names: Sequence[str]
    coefficients: np.ndarray
    prior: np.ndarray
    usual: Mapping[str, Rows]
    rows: Rows | None = None


def behind(
    model: PriceNumbers, types: Iterable[str], day: float, units: Units | None = None
) -> Behind:
    """What `terms` needs beside the unit, for units of these types; units: to be read once."""
    prior = np.concatenate([block.mean for block in model.encoding.blocks])
    usual = {name: encode.read(model.encoding, _usual_unit(model, name), day) for name in types}
    return Behind(
        price_terms.column_terms(model.encoding.margins, model.encoding.blocks),
        model.mean + prior,
        prior,
        usual,
        None if units is None else encode.read(model.encoding, units, day),
    )


def terms(
    model: PriceNumbers, units: Units, day: float, common: Behind | None = None, place: int = 0
) -> list[tuple[str, float]]:
    """Terms of the one unit's typical price in money: the usual price of its type first (usual age,
    good, no particular make, features not told), then what makes this unit differ; their sum is the
    answer to 0.01. common: `behind` where it is at hand; place: of the unit in its rows."""
    if units.n != 1:
        raise ValueError("terms are for one unit")
    type_name = (units.word("type").texts() or [""])[0]
    common = common or behind(model, [type_name], day)
    rows, at = (common.rows or encode.read(model.encoding, units, day)), place if common.rows else 0
    usual = common.usual[type_name]
    # The starting slope is part of what age moves: offset = start + slope * line + Z prior
    both = ((rows, at), (usual, 0))
    slopes = [float(r.offset[i] - r.start[i] - r.columns[i] @ common.prior) for r, i in both]

    def word_in(name: str) -> str:
        return (units.word(name).texts() or [""])[0] if name in units.words else ""

    age = float(units.number("age")[0])
    logs = price_terms.log_terms(
        common.names,
        (rows.columns[at] * common.coefficients).tolist(),
        (usual.columns[0] * common.coefficients).tolist(),
        slopes,
        float(usual.start[0]),
        (type_name, word_in, age if np.isfinite(age) else None, _usual_age(model, type_name)),
    )
    return price_terms.in_money(logs)


def _usual_age(model: PriceNumbers, type_name: str) -> float:
    return model.usual_age.get(type_name, MIDDLE_AGE)


def _usual_unit(model: PriceNumbers, type_name: str) -> Units:
    words = {"type": Coded.of([type_name]), "condition": Coded.of(["good"])}
    return Units(1, {"age": np.array([_usual_age(model, type_name)])}, words)
