"""The record as it stood on a day: what came later is blank, so that no estimate can see it."""

from datetime import date

import numpy as np

from pricing.basis.units import Coded, Units

# Known only once a unit has ended; `repair`, `found` and the bench work are known once it was
# listed or ended.
_AT_THE_END = (
    "sold", "price", "fees", "refund", "salvage", "delivery", "tax", "sell_min", "sold_where",
    "comeback",
)  # fmt: skip
_ON_THE_BENCH = (
    "repair", "found", "parts", "hours", "diagnose_min", "repair_min", "clean_min", "listed",
    "asked", "offers", "condition",
)  # fmt: skip
_DATED = ("asked", "offers", "comeback")


def known_by(units: Units, day: float) -> Units:
    """The units that were there on `day` (ordinal), each as it was known then.

    A unit is there from the first of its dates (got, listed, sold); a unit without any date is
    taken as there. A sale after `day` is not known: price and what else comes with it are blank and
    the outcome is "listed" where it was listed by then, else "in work". Dated asks and offers after
    `day` are cut off. The table given is not changed.

    >>> from pricing.basis.units import from_rows
    >>> sale = {"listed": 10.0, "sold": 30.0, "price": 200.0, "outcome": "sold"}
    >>> late = from_rows([sale | {"type": "wall oven"}])
    >>> now = known_by(late, 20)
    >>> now.number("price").tolist(), now.word("outcome").texts()
    ([nan], ['listed'])
    """
    dates = np.vstack([units.number(name) for name in ("got", "listed", "sold")])
    first = np.where(np.isnan(dates), np.inf, dates).min(axis=0)
    units = units.take(~(np.isfinite(first) & (first > day)))
    sold, listed = units.number("sold"), units.number("listed")
    later_sold, later_listed = sold > day, listed > day
    if later_sold.any() or later_listed.any():
        on_bench = later_listed | (later_sold & ~(listed <= day))
        changes: dict[str, np.ndarray | Coded] = {}
        for names, rows in ((_AT_THE_END, later_sold | later_listed), (_ON_THE_BENCH, on_bench)):
            for name in names:
                if name in units.numbers:
                    changes[name] = np.where(rows, np.nan, units.number(name))
                elif name in units.words:
                    codes = np.where(rows, -1, units.word(name).codes).astype(np.int32)
                    changes[name] = Coded(codes, units.word(name).levels)
        outcomes = np.array(units.word("outcome").texts(), dtype=object)
        outcomes[later_sold | later_listed] = "listed"
        outcomes[on_bench] = "in work"
        changes["outcome"] = Coded.of(outcomes.tolist())
        units = units.replaced(**changes)
    dated = {name: _cut(units.word(name), day) for name in _DATED if name in units.words}
    return units.replaced(**dated) if dated else units


def _cut(column: Coded, day: float) -> Coded:
    """Dated lists without the entries after `day`; text without dates stays as it is."""

    def before(text: str) -> str:
        if ":" not in text:
            return text
        kept = []
        for entry in text.split(";"):
            try:
                when = date.fromisoformat(entry.strip()[:10]).toordinal()
            except ValueError:
                return text
            if when <= day:
                kept.append(entry.strip())
        return "; ".join(kept)

    new = [before(level) for level in column.levels]
    if new == list(column.levels):
        return column
    place = {word: index for index, word in enumerate(dict.fromkeys(word for word in new if word))}
    table = np.array([*(place.get(word, -1) for word in new), -1], dtype=np.int32)
    return Coded(table[column.codes], tuple(place))
