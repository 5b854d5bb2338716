"""The ads of others behind an answer: how many were seen, beside own sales, and the nearest."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.units import from_rows
from pricing.model.price import price, similar

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.model.saved import Saved

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
        return {
            "type": self.type,
            "seen": self.seen,
            "seen_all": self.seen_all,
            "own_sales": self.own_sales,
            "over": self.over,
            "nearest": [dict(zip(names, row, strict=True)) for row in rows],
        }


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
