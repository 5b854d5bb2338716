"""What the gate is told of a unit and of its kind: plain functions over lists and dicts."""

from collections.abc import Mapping, Sequence
from typing import Any

from pricing.words.gate import SALE

NOT_RESALE = ("water heater", "garbage disposer")
COLD_TOO = ("heat-pump dryer", "all-in-one washer-dryer")  # laundry with a sealed system
ELECTRIC = ("electric", "induction", "compact dryer", "heat-pump", "wall oven", "double wall")
TEXTS = ("fault", "found", "repair", "features", "note", "fuel")
WAS_WRONG = ("fault", "found", "repair")


def told(unit: Mapping[str, Any], stage: str, said: str, heard: Any, more: Any) -> dict[str, Any]:
    """heard: faults, found and tags that the reader heard; more: columns of the person's own."""
    # what was wrong is in the past once it is repaired and listed; faults that no repair mends are
    # still told by their names below
    past = WAS_WRONG if stage == SALE and unit.get("repair") else ()
    texts = [unit.get(name) for name in [*TEXTS, *more] if name not in past]
    return {
        "text": ", ".join([str(one) for one in [unit.get("type"), said, *texts] if one]),
        "faults": [str(one) for one in [unit.get("fault"), *heard["faults"]] if one],
        "found": [*_parts(unit.get("found")), *_parts(unit.get("repair")), *heard["found"]],
        "tags": heard["tags"],
        "repaired": bool(unit.get("repair")),
        "recall_checked": unit.get("recall_checked") is not None,
    }


def _parts(text: Any) -> list[str]:
    return [word for word in str(text or "").split("; ") if word]


def kind_of(name: str, fuel: str, made: Any, of: Any, pounds: Any, settings: Any) -> dict[str, Any]:
    """What the gate needs to know of a kind. of: usual shares of its kinds, families, known;
    pounds: its weight and the usual one."""
    kinds, families, known = of
    heavy = pounds[1] if pounds[0] is None else pounds[0]
    in_pounds = settings.weight_unit == "lb"
    return {
        "types": kinds,
        "families": families,
        "known": known,
        "resale": known and name not in NOT_RESALE,
        "cold": "fridge" in families or "air" in families or any(k in COLD_TOO for k in kinds),
        "gas": _burns(fuel, families, list(kinds)),
        "made": made,
        "weight_lb": 0.0 if pounds[0] is None else pounds[0],
        "weight": f"{heavy:.0f} lb" if in_pounds else f"{heavy * 0.45359237:.0f} kg",
        "us": settings.region == "US",
    }


def _burns(fuel: str, families: Sequence[str], kinds: Sequence[str]) -> str:
    """Whether it burns gas: "yes", "maybe" or "no"."""
    if fuel:
        return "yes" if any(fuel.startswith(gas) for gas in ("gas", "propane", "lp")) else "no"
    gas = [name for name in kinds if name.startswith("gas ")]
    if len(gas) == len(kinds):
        return "yes"
    if len(gas) > 0 or any("gas" in name for name in kinds):
        return "maybe"
    if len(families) > 0 and "range" not in families and "dryer" not in families:
        return "no"
    return "no" if all(_by_wire(name) for name in kinds) else "maybe"


def _by_wire(name: str) -> bool:
    return any(name.startswith(word) for word in ELECTRIC)
