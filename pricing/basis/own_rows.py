"""The starting tables with the rows that the person's settings put in their place."""

from __future__ import annotations

from dataclasses import replace

from pricing.basis.assumed import (
    FAULTS,
    GENERIC_TYPE,
    PLAIN_TYPES,
    TYPES,
    UNKNOWN_FAULT,
    AssumedFault,
    AssumedType,
)
from pricing.basis.settings import Settings


def assumed_types(settings: Settings) -> dict[str, AssumedType]:
    """The table of types by name, with the person's own rows in place of ours; a new type needs
    only what it changes.

    Blank fields of a new type come from `GENERIC_TYPE`; `usual_price` replaces the price and moves
    low and high with it.
    """
    table = {row.type: row for row in (*TYPES, *PLAIN_TYPES)}
    for name, changes in settings.assumed_types.items():
        table[name] = replace(table.get(name, replace(GENERIC_TYPE, type=name)), **changes)
    for name, price in settings.usual_price.items():
        row = table.get(name, replace(GENERIC_TYPE, type=name))
        table[name] = replace(
            row, price=price, low=row.low * price / row.price, high=row.high * price / row.price
        )
    return table


def assumed_faults(settings: Settings) -> tuple[AssumedFault, ...]:
    """The rows of FAULTS with the person's own in front; an own row holds for every family unless
    it names one."""
    if not settings.assumed_faults:
        return FAULTS
    own = []
    for name, changes in settings.assumed_faults.items():
        known = next((row for row in FAULTS if row.fault == name), replace(UNKNOWN_FAULT, found=""))
        own.append(replace(known, **{"family": "any", "fault": name, **changes}))
    return (*own, *FAULTS)
