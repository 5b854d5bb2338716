"""What was paid against the limit that `offer` would have named: each unit as it was told before
the drive, by what was known before the quarter.

Nothing that came after the drive is told to it: not what the fault turned out to be, nor parts,
hours or the price. What the person paid stands for what the owner wanted. A unit got long before
the quarter is judged with a little more than was known on its day.
"""

from __future__ import annotations

from datetime import date

import numpy as np

from pricing.advice.offer import decide_many
from pricing.basis.frozen import frozen
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model.saved import Saved
from pricing.quarter.money import Books

TOLD = (
    "type", "maker", "tier", "features", "fuel", "finish", "condition", "fault", "got_from",
    "owner",
)  # fmt: skip
MOST = 150  # units judged, evenly through the quarter; each costs an answer of its own


@frozen
class Judged:
    """One unit: what was paid, the most to pay, and what it came to, in the currency's unit."""

    unit: str
    type: str
    paid: float
    limit: float
    profit: float
    hours: float

    @property
    def over(self) -> bool:
        return self.paid > self.limit


@frozen
class Limits:
    """units: those of the quarter that were judged, by day; n_left: ended units that were not (paid
    not written, or beyond MOST)."""

    units: tuple[Judged, ...]
    n_left: int

    def side(self, over: bool) -> tuple[int, float, float]:
        """Number, profit and hours of the units bought over the limit, or within it."""
        picked = [each for each in self.units if each.over == over]
        return (
            len(picked),
            round(sum(each.profit for each in picked), 2) + 0.0,
            round(sum(each.hours for each in picked), 2),
        )


def judge_limits(
    books: Books, inside: np.ndarray, numbers: Saved, settings: Settings, as_of: date
) -> Limits:
    """Judge the counted units among `inside` (mask) by what was known before, on `as_of`."""
    counted = np.flatnonzero(inside & books.counted)
    told = np.isfinite(books.units.number("paid")) & (books.units.word("type").codes >= 0)
    rows = counted[told[counted]]
    rows = rows[np.argsort(books.day[rows], kind="stable")]
    if len(rows) > MOST:
        rows = rows[np.linspace(0, len(rows) - 1, MOST).round().astype(int)]
    if not len(rows):
        return Limits((), len(counted))
    words = {name: books.units.word(name).take(rows).texts() for name in (*TOLD, "unit")}
    age, miles, paid = (books.units.number(name)[rows] for name in ("age", "miles", "paid"))
    questions = []
    for i in range(len(rows)):
        unit: dict[str, object] = {name: words[name][i] for name in TOLD if words[name][i]}
        unit |= {"age": float(age[i])} if np.isfinite(age[i]) else {}
        far = {"miles": float(miles[i])} if np.isfinite(miles[i]) else {}
        questions.append(Question(unit, {"their_price": float(paid[i])} | far))
    answers = decide_many(questions, numbers, settings, as_of)
    limits = [float(one.pay_up_to) for one in answers]
    brought = (books.profit[rows].tolist(), books.worked[rows].tolist())
    columns = (words["unit"], words["type"], paid.tolist(), limits, *brought)
    units = tuple(Judged(*each) for each in zip(*columns, strict=True))
    return Limits(units, len(counted) - len(rows))
