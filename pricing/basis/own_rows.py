"""The starting tables in the person's own money, with the rows that settings put in their place.

The tables are US dollars: this is the one place where they become another currency's money.
"""

from dataclasses import replace
from functools import lru_cache
from typing import TypeVar

from pricing.basis.assumed import FAULTS, GENERIC_TYPE, PLAIN_TYPES, TYPES, UNKNOWN_FAULT
from pricing.basis.assumed import AssumedFault as Fault
from pricing.basis.assumed import AssumedType as Type
from pricing.basis.problems import refused
from pricing.basis.settings import Settings

NO_RATE = (
    "The starting figures are US dollars, and nothing tells what a\ndollar is in {0}:"
    " no amount is told until you set it.\nNext: pricing settings dollar_is RATE"
)
_Row = TypeVar("_Row", Type, Fault)
_TYPE_MONEY = ("price", "low", "high", "scrap", "helper_usd", "scrap_net_unasked")
_FAULT_MONEY = ("parts", "parts_low", "parts_high", "parts_if_failed")


def rate(settings: Settings) -> float:
    """The person's money for one dollar of the starting figures. Refused where nothing tells it."""
    found, currency = settings.dollar, settings.currency.upper()
    if found is None:
        what = f"no amount in {currency} can be told yet: the starting figures are US dollars"
        set_it = f"set how many {currency} one US dollar is (pricing settings dollar_is RATE)"
        raise refused(what, f"{set_it}, or a usual price; then pricing fit", kind="no rate")
    return found


def assumed_types(settings: Settings, money: bool = True) -> dict[str, Type]:
    """The table of types by name, with the person's own rows; a new type needs only what it
    changes, the rest comes from `generic_type`; `usual_price` moves low and high with it. money:
    False where no money is read. Raises Refused where money is read and no rate is known."""
    table, generic = _types_at(rate(settings) if money else 1.0)
    table = dict(table)
    for name, changes in settings.assumed_types.items():
        table[name] = replace(table.get(name, replace(generic, type=name)), **changes)
    for name, price in settings.usual_price.items():
        row = table.get(name, replace(generic, type=name))
        low, high = (end * price / row.price for end in (row.low, row.high))
        table[name] = replace(row, price=price, low=low, high=high)
    return table


def generic_type(settings: Settings) -> Type:
    """The figures of a type nobody has named, in the person's money."""
    return _types_at(rate(settings))[1]


def assumed_faults(settings: Settings, money: bool = True) -> tuple[Fault, ...]:
    """FAULTS with the person's own in front, which hold for every family unless they name one."""
    table = _faults_at(rate(settings) if money else 1.0)
    if not settings.assumed_faults:
        return table
    own = []
    unknown = table[FAULTS.index(UNKNOWN_FAULT)]
    for name, changes in settings.assumed_faults.items():
        known = next((row for row in table if row.fault == name), replace(unknown, found=""))
        own.append(replace(known, **{"family": "any", "fault": name, **changes}))
    return (*own, *table)


@lru_cache(maxsize=4)
def _types_at(dollar: float) -> tuple[dict[str, Type], Type]:
    rows = {row.type: _in_money(row, _TYPE_MONEY, dollar) for row in (*TYPES, *PLAIN_TYPES)}
    return rows, _in_money(GENERIC_TYPE, _TYPE_MONEY, dollar)


@lru_cache(maxsize=4)
def _faults_at(dollar: float) -> tuple[Fault, ...]:
    if dollar == 1:
        return FAULTS  # the very table: rows are found faster in it
    return tuple(_in_money(row, _FAULT_MONEY, dollar) for row in FAULTS)


def _in_money(row: _Row, names: tuple[str, ...], dollar: float) -> _Row:
    if dollar == 1:
        return row
    told = [(name, value) for name in names if (value := getattr(row, name)) is not None]
    return replace(row, **{name: value * dollar for name, value in told})
