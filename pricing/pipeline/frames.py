"""A table of another library -> Units. What the price model cannot use is refused by column, row
and value, every column at once; columns that it does not read are not looked at."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from numbers import Real
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis.columns import BY_NAME, CONDITIONS, OUTCOMES
from pricing.basis.frozen import frozen
from pricing.basis.problems import Problem, Unusable, meant, unusable
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.basis.words import canonical
from pricing.formulas.nearest_word import nearest
from pricing.model.price.encode import mapped
from pricing.model.seen import READ_NUMBERS, READ_WORDS

if TYPE_CHECKING:
    import pandas as pd

READ = (*READ_NUMBERS, *READ_WORDS)
ALIKE = 0.8  # a heading so near to one that is read is taken for a slip
FIRST_DAY, LAST_DAY = date(1970, 1, 1).toordinal(), date(2200, 1, 1).toordinal()
AN_AMOUNT, A_DAY = "a number above 0, like 250.0", "a date, like datetime.date(2026, 10, 1)"
GRADES = {"condition": CONDITIONS, "outcome": OUTCOMES}
MOST_YEARS = 120  # beyond, an "age" is a year or a slip


@frozen
class Bound:
    """What a number must be. holds: whether a value is; expected: the same in words."""

    holds: Callable[[np.ndarray], np.ndarray]
    expected: str


_ANY = Bound(np.isfinite, "a number, like 7.5")
_ABOVE = Bound(lambda x: x > 0, AN_AMOUNT)
_DAYS = Bound(lambda x: (x >= FIRST_DAY) & (x <= LAST_DAY), A_DAY)
_AGES = Bound(lambda x: (x >= 0) & (x <= MOST_YEARS), f"years from 0 to {MOST_YEARS}")
_RULES = {"price": _ABOVE, "size": _ABOVE, "age": _AGES}


def as_pandas(table: Any, what: str = "a table") -> pd.DataFrame:
    """Any table as a pandas one with text headings: pandas, whatever speaks Arrow's stream or the
    dataframe interchange protocol (Arrow, Polars …), a mapping of columns, a list of records."""
    import pandas as pd

    if hasattr(table, "__arrow_c_stream__") and not isinstance(table, pd.DataFrame):
        import pyarrow as pa

        table = pa.table(table).to_pandas(date_as_object=False)
    elif hasattr(table, "__dataframe__") and not isinstance(table, pd.DataFrame):
        import pyarrow.interchange

        table = pyarrow.interchange.from_dataframe(table).to_pandas(date_as_object=False)
    elif isinstance(table, dict | list):
        one = isinstance(table, dict) and all(map(pd.api.types.is_scalar, table.values()))
        table = pd.DataFrame([table] if one else table)
    if not isinstance(table, pd.DataFrame):
        fix = "give a data frame, a dict or a list"
        raise unusable(f"{type(table).__name__} is not {what}", fix)
    return table.set_axis([str(name) for name in table.columns], axis=1)


def to_units(table: Any, settings: Settings, ours: bool, fitting: bool = False) -> Units:
    """The columns that the price model reads, checked; an own attribute that shares the name of a
    column of ours is read as the attribute.

    ours: words are those of household appliances, read as everywhere. fitting: the attributes must
    be there. Raises Unusable naming each column that cannot be used, its first such row and value.
    """
    frame = as_pandas(table)
    problems = _names(frame, settings, ours, fitting)
    numbers: dict[str, np.ndarray] = {}
    words: dict[str, Coded] = {}
    for name, column in frame.items() if not problems else ():
        kind = settings.attributes.get(name) or (name in READ and BY_NAME[name].kind)
        if kind in ("category", "ordered"):
            words[name] = Coded.of(map(_as_word, _cells(column)))
        elif kind in ("number", "log", "money"):
            own = _ABOVE if kind == "log" else _ANY
            told = name not in settings.attributes and (ours or name == "price")
            numbers[name] = _numbers(column, _RULES[name] if told else own, problems)
        elif kind == "date":
            numbers[name] = _days(column, problems)
        elif kind:
            words[name] = _words(column, settings, ours, problems)
    if not problems and not numbers | words:
        fix = f"name columns {', '.join(READ)}, or declare your own under attributes"
        problems.append(Problem("no column of the table is one that the model reads", fix))
    if problems:
        raise Unusable(*problems)
    return Units(len(frame), numbers, words)


def _names(frame: pd.DataFrame, settings: Settings, ours: bool, fitting: bool) -> list[Problem]:
    """Headings that come twice, that are slips of ours, and attributes that are not there."""
    names = list(frame.columns)
    found = [
        Problem("comes twice", "leave one out", column=name)
        for name in dict.fromkeys(names)
        if names.count(name) > 1
    ]
    own = {*BY_NAME, *settings.attributes}
    for name in names:
        left = [one for one in (*READ, *settings.attributes) if one not in names]
        near = nearest(name.strip(), left, ALIKE) if name not in own else None
        if near is not None and (ours or near.lower() == name.strip().lower()):
            fix = f"rename it to {near!r}, declare it under attributes, or leave it out"
            found.append(Problem(f"is not read; did you mean {near!r}?", fix, column=name))
    absent = {*settings.attributes} - {*names} if fitting else set()
    return found + [_absent(name, names) for name in sorted(absent)]


def _absent(name: str, names: list[str]) -> Problem:
    fix = meant(name, names, f"the table has {', '.join(names)}")
    return Problem("is an attribute, but no column of the table", fix, column=name)


def _wrong(column: pd.Series, bad: np.ndarray, what: str, expected: str, fix: str) -> Problem:
    """The first of the bad rows; how many there are is said too."""
    place = int(np.flatnonzero(bad)[0])
    value = column.iloc[place]
    value = value.item() if isinstance(value, np.generic) else value
    more = int(bad.sum()) - 1
    what += f", as in {more:,} more row{'s' * (more > 1)}" if more else ""
    at = f"row {column.index[place]}"
    return Problem(what, fix, at, None, str(column.name), str(value), expected)


def _cells(column: pd.Series) -> list[Any]:
    """The values of a column, None where blank."""
    values = zip(column.astype(object), column.isna(), strict=True)
    return [None if blank else value for value, blank in values]


def _is(kinds: Any, cells: list[Any]) -> np.ndarray:
    """Where a value is of these kinds, or blank, (n,)."""
    return np.array([one is None or isinstance(one, kinds) for one in cells], dtype=bool)


def _numbers(column: pd.Series, rule: Bound, problems: list[Problem]) -> np.ndarray:
    """A column of numbers, NaN where blank; text is none, whatever it holds."""
    cells = _cells(column)
    right = _is(Real | Decimal, cells)
    if not right.all():
        fix = "turn it into numbers first, for example with pandas.to_numeric"
        problems.append(_wrong(column, ~right, "is no number", rule.expected, fix))
        return np.full(len(column), np.nan)
    values = np.array([np.nan if one is None else float(one) for one in cells])
    endless = np.isinf(values)
    with np.errstate(invalid="ignore"):
        bad = endless | ~(np.isnan(values) | rule.holds(values))
    if bad.any():
        what = "is infinite" if endless[np.argmax(bad)] else "is out of range"
        problems.append(_wrong(column, bad, what, rule.expected, "mend it, or leave it blank"))
    return values


def _days(column: pd.Series, problems: list[Problem]) -> np.ndarray:
    """A column of days as ordinals, NaN where blank."""
    cells = _cells(column)
    right = _is(date, cells)
    if right.all():
        return np.array([np.nan if one is None else float(one.toordinal()) for one in cells])
    if _is(Real, cells).all():
        return _numbers(column, _DAYS, problems)
    fix = "turn it into dates first, for example with pandas.to_datetime"
    problems.append(_wrong(column, ~right, "is text, not a day", A_DAY, fix))
    return np.full(len(column), np.nan)


def _words(column: pd.Series, settings: Settings, ours: bool, problems: list[Problem]) -> Coded:
    """A column of words, as they are or as ours."""
    name, cells = str(column.name), _cells(column)
    right = _is(str if ours else object, cells)
    if not right.all():
        fix = "write words; where the model should take it as it is, declare it under attributes"
        problems.append(_wrong(column, ~right, "is no text", BY_NAME[name].meaning, fix))
        return Coded.of(())
    coded = Coded.of(map(_as_word, cells))
    if not ours:
        return coded
    levels = [canonical(name, level, settings) for level in coded.levels]
    known = GRADES.get(name, ())
    bad = np.isin(coded.codes, [i for i, one in enumerate(levels) if one and one not in known])
    if known and bad.any():
        fix = f"write one of these, or name it under [words.{name}s] of the settings"
        problems.append(_wrong(column, bad, f"is no {name}", ", ".join(known), fix))
    return mapped(coded, levels)


def _as_word(value: Any) -> str | None:
    """Words as they are; whole numbers without their point."""
    whole = isinstance(value, float | np.floating) and float(value).is_integer()
    return None if value is None else str(int(value)) if whole else str(value)
