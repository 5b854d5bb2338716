"""Prices and ages that look like typing slips, with what was probably meant. numpy only. Nothing is
dropped: the t errors give such a sale little weight, and how little is shown.

A sale is looked at where it lies more than 4.5 scales from its typical price; a slip is named where
a usual slip of the fingers (a nought too many or too few, two digits swapped, a decade off) brings
it within 1.6.
"""

from datetime import date

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.units import Units
from pricing.model.price import encode, price
from pricing.model.price.price import PriceNumbers
from pricing.model.seen import sold_rows

FAR, NEAR = 4.5, 1.6  # summed scales of the law
OLD = 30.0  # years: an age above is looked at whatever the price


@frozen
class Slip:
    """One suspect value. row: of the units; column: "price" or "age"; likely: what was probably
    meant, or None; expected: the typical price; weight: its weight in the fit, 1 for a plain
    sale."""

    row: int
    unit: str
    column: str
    value: float
    likely: float | None
    expected: float
    weight: float


def slips(model: PriceNumbers, units: Units, as_of: date) -> list[Slip]:
    """The suspect sales of a record, the least likely first."""
    rows, days = sold_rows(units, as_of)
    if model.n < 8 or not len(rows):
        return []
    sold = units.take(rows)
    law, weights = price.law(model, sold, days), _weights(model, sold, days)
    apart = _apart(law, np.log(sold.number("price")))
    with np.errstate(invalid="ignore"):
        suspect = np.flatnonzero((apart > FAR) | (sold.number("age") > OLD))
    names, usual = sold.word("unit").texts(), np.exp(law.center)

    def slip(at: int) -> Slip:
        one = sold.take(np.array([at]))
        column, likely = _meant(model, one, float(days[at]), float(apart[at]))
        told = (int(rows[at]), names[at], column, float(one.number(column)[0]), likely)
        return Slip(*told, float(usual[at]), float(weights[at]))

    return [slip(at) for at in sorted(suspect.tolist(), key=lambda at: (-apart[at], rows[at]))]


def _apart(law: price.PriceLaw, log_price: np.ndarray) -> np.ndarray:
    """How many scales each price lies from the typical one, (n,)."""
    return np.asarray(np.abs(log_price - law.center) / law.total)


def _weights(model: PriceNumbers, sold: Units, days: np.ndarray) -> np.ndarray:
    """Weight of each sale as a t error, over that of a sale right at its typical price."""
    rows = encode.read(model.encoding, sold, days)
    own = price.own_variance(model, rows)
    residual = np.log(sold.number("price")) - rows.offset - rows.columns @ model.mean
    return np.asarray(model.nu / (model.nu + residual**2 / own))


def _meant(model: PriceNumbers, unit: Units, day: float, now: float) -> tuple[str, float | None]:
    """The column and value that a usual slip would explain best; ("price", None) for none."""
    options: list[tuple[float, str, float]] = []
    sold = float(unit.number("price")[0])
    center = price.law(model, unit, day)
    for value in _typed_for(sold, (10.0, 0.1, 100.0, 0.01)):
        options.append((float(_apart(center, np.log([value]))[0]), "price", value))
    age = float(unit.number("age")[0])
    if np.isfinite(age):
        near = {*_typed_for(age, (0.1,)), age - 10, age + 10} - {age}
        for value in (value for value in near if 0 <= value <= OLD):
            changed = unit.replaced(age=np.array([float(value)]))
            distance = _apart(price.law(model, changed, day), np.log([sold]))
            options.append((float(distance[0]), "age", float(value)))
    if age > OLD:
        options = [option for option in options if option[1] == "age"]
        limit = np.inf
    else:
        limit = NEAR
    best = min(options, default=(np.inf, "price", 0.0))
    if best[0] < limit and (best[0] < now or age > OLD):
        return best[1], best[2]
    return ("age" if age > OLD else "price"), None


def _typed_for(value: float, factors: tuple[float, ...]) -> list[float]:
    """What may have been meant: a factor of ten, or two neighbouring digits swapped.

    >>> _typed_for(2500.0, (0.1,))
    [250.0, 5200.0, 2050.0]
    """
    out = [round(value * factor, 2) for factor in factors]
    digits = str(int(value))
    if value == int(value):
        for k in range(len(digits) - 1):
            swapped = digits[:k] + digits[k + 1] + digits[k] + digits[k + 2 :]
            if swapped != digits and not swapped.startswith("0"):
                out.append(float(swapped))
    return [candidate for candidate in dict.fromkeys(out) if candidate > 0]
