"""What a promise to put a unit right costs, by kind: how many come back, and what one costs then.

    cost = share x (refunds x lost of the price + (1 - refunds) x (trip + parts + hours x the hour))

The share in thirty days is the person's own where there is one (`repair.comeback_share`), over the
table of comebacks. Ninety days bring half as many again: most faults of a repair show in the first
weeks. Own judgement.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pricing.basis.own_rows import rate
from pricing.basis.words import family_of
from pricing.model.repair import repair
from pricing.words.tables import rows

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved

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
