"""What stands beside a decision, each by its key in the JSON, where there is anything to say."""

from datetime import date
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.own_rows import rate
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.basis.words import family_of
from pricing.model.price import price, similar
from pricing.model.repair import repair
from pricing.model.saved import Saved
from pricing.words.tables import rows

# ---- The ads of others behind an answer: how many were seen, beside own sales, and the nearest
MOST = 5


@frozen
class AdsLike:
    """type: of the unit; seen: ads of this type, seen_all: of every type; own_sales: of this type;
    over: how far asks stand above what units bring; nearest: said, day, ask, what it says here."""

    type: str
    seen: int
    seen_all: int
    own_sales: int
    over: float
    nearest: tuple[tuple[str, date, float, float], ...]

    def as_dict(self) -> dict[str, Any]:
        """As it stands in an answer, under "ads"."""
        names = ("said", "seen", "ask", "says")
        rows = [(said, day.isoformat(), ask, says) for said, day, ask, says in self.nearest]
        return vars(self) | {"nearest": [dict(zip(names, row, strict=True)) for row in rows]}


def ads_like(question: Question, numbers: Saved, as_of: date) -> AdsLike | None:
    """What was seen of others, None where nothing was."""
    model = numbers.price
    if not model.ads:
        return None
    numeric = [m.column for m in model.encoding.margins if m.kind in ("number", "hinges")]
    unit = from_rows([dict(question.unit)], numeric)
    rows = [row for row in numbers.ads if row.get("type") == question.type]
    near = similar.closest(model, rows, unit, float(as_of.toordinal()), MOST)
    return AdsLike(
        question.type,
        int(model.ads.get(question.type, 0)),
        sum(model.ads.values()),
        price.n_of_type(model, question.type),
        float(np.expm1(model.over)),
        tuple(
            (one.said, one.sold, one.price, one.adjusted * float(np.exp(-model.over)))
            for one in near
        ),
    )


# ---- What a promise to put a unit right costs, by kind: how many come back, and what one costs
# then
IN_30, IN_90 = 1.0, 1.5  # comebacks over those of the first thirty days


def cost_of_one(price: float, row: dict[str, Any], hour: float) -> float:
    """What one comeback costs, money. row: of the table; hour: worth of an hour.

    >>> row = {"refund_share": 0.5, "lost_of_price_if_refunded": 0.5}
    >>> row |= {"trip_usd": 10, "parts_usd": 20, "trip_h": 1, "repair_h": 0}
    >>> cost_of_one(200, row, 30)
    80.0
    """
    refunded = row["refund_share"]
    right = row["trip_usd"] + row["parts_usd"] + hour * (row["trip_h"] + row["repair_h"])
    return float(refunded * row["lost_of_price_if_refunded"] * price + (1 - refunded) * right)


def promised(
    question: Question, price: float, numbers: Saved, settings: Settings
) -> dict[str, float] | None:
    """What thirty and ninety days cost at a price; None for a kind that the table does not hold."""
    name = question.type
    family = family_of(name, settings)
    # the kind's own row stands before its family's
    found = [row for row in rows("comebacks") if name in row["types"]]
    found += [row for row in rows("comebacks") if row["family"] == family]
    if not found or price <= 0:
        return None
    share = repair.comeback_share(numbers.repair, name, family, settings)
    dollar = rate(settings)
    row = found[0] | {name: found[0][name] * dollar for name in ("trip_usd", "parts_usd")}
    one = cost_of_one(price, row, settings.hour_worth)
    of_days = {"days_30": share * IN_30 * one, "days_90": share * IN_90 * one}
    return {"share": share, "one": one, **of_days}


def of_sale(
    question: Question, price: float, numbers: Saved, settings: Settings, as_of: date
) -> dict[str, Any]:
    """Beside an ask, at the price that it expects."""
    told = promised(question, price, numbers, settings)
    beside = of_call(question, numbers, settings, as_of)
    return beside | ({} if told is None else {"warranty": told})


def of_call(question: Question, numbers: Saved, settings: Settings, as_of: date) -> dict[str, Any]:
    """Beside an offer."""
    found = ads_like(question, numbers, as_of)
    return {} if found is None else {"ads": found.as_dict()}
