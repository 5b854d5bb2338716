"""What was heard in a line -> the question that it asks, as plain tables. The phone's file holds
the same code, translated.

`asked` gives {unit, known, made, warnings, heard, each}. What the settings and the record say comes
as data and two functions: row_of(fault, type): [row of the starting table, whether it is known];
called(maker): our name of it.
"""

from collections.abc import Callable
from typing import Any

from pricing.words.tokens import Table, Tables, tokens_of

MILES_A_KILOMETRE = 0.621371
MOST_UNITS = 12  # of one call that are answered one by one
# Fields of `read` that are columns of the unit, and numbers of the question.
UNIT = ("type", "maker", "condition", "fuel", "finish", "size", "found", "age")
NUMBERS = ("their_price", "miles", "parts", "hours", "fix_chance", "price", "spent_money",
           "spent_hours", "offered", "asked_now", "stairs")  # fmt: skip


def in_own_distance(found: Table, metric: bool) -> None:
    """Distances in the person's own unit; there and back stays so."""
    for part in [found["read"], *found.get("each", [])]:
        for name, foreign in (("miles", "km"), ("round_trip_miles", "round_km")):
            if name not in part and foreign in part:
                part[name] = part[foreign] * (1 if metric else MILES_A_KILOMETRE)
            elif name in part and metric:
                part[name] = part[name] / MILES_A_KILOMETRE
            if foreign in part:
                del part[foreign]


def asked(
    found: Table,
    moment: str,
    trade: Table,
    row_of: Callable[[str, str], list[Any]],
    called: Callable[[str], str],
) -> Table:
    """The question of the line; of several units the first, without the price for all, and each
    under `each`. trade: plain (word -> its kinds), dangers (faults), faults (the record's own)."""
    units = found.get("each", [])
    first = units[0] if len(units) > 0 else {}
    read = {**found["read"], **first}
    if len(units) > 0 and "their_price" not in first:
        read = {name: value for name, value in read.items() if name != "their_price"}
    unit = _unit(read, first.get("kinds") or found.get("kinds"), trade["plain"], called)
    kind = unit.get("type", "")
    faults = ranked_faults(read, trade["dangers"], lambda name: row_of(name, kind)[0].fix)
    if len(faults) > 0:
        faults[0] = as_recorded(faults[0], kind, trade["faults"], row_of)
        unit["fault"] = faults[0]
    if moment == "ask" and unit.get("fault") == "works; owner upgraded":
        del unit["fault"]
    warnings = notes(found, faults, moment)
    if found.get("units", 1) > 1 and moment != "offer":
        n = found["units"]
        warnings.append(f"I read {n} units: this answers the first. Say the others alone.")
    return {
        "unit": unit,
        "known": _numbers(read),
        "made": [int(year) for year in read.get("made", [])] if "age" not in unit else [],
        "warnings": warnings,
        "heard": found,
        "each": [asked(one, moment, trade, row_of, called) for one in _alone(found)],
    }


def _unit(read: Table, kinds: Any, plain: Table, called: Callable[[str], str]) -> Table:
    unit = {name: read[name] for name in UNIT if read.get(name) is not None and read[name] != ""}
    if kinds and "type" not in unit:
        words = [word for word in plain if plain[word] == kinds]
        unit["type"] = words[0] if len(words) > 0 else kinds[0]
    if "size" in unit:
        unit["size"] = float(unit["size"])
    if "maker" in unit:
        unit["maker"] = called(unit["maker"])
    for name in ("features", "repair"):
        if read.get(name):
            unit[name] = "; ".join(sorted(dict.fromkeys([str(one) for one in read[name]])))
    return unit


def _numbers(read: Table) -> Table:
    numbers = {name: float(read[name]) for name in NUMBERS if read.get(name) is not None}
    if "miles" not in numbers and read.get("round_trip_miles") is not None:
        numbers["miles"] = read["round_trip_miles"] / 2
    if read.get("drive_min") is not None:
        numbers["drive_min"] = 2 * read["drive_min"]
    return numbers


def _alone(found: Table) -> Tables:
    """What was heard of each of several units, as if said alone; the price for all is of none."""
    n = found.get("units") or 1
    if n < 2:
        return []
    units = list(found.get("each", []))
    while len(units) < n and len(units) < MOST_UNITS:
        units.append(units[len(units) - 1] if len(units) > 0 else {})
    shared = {name: value for name, value in found["read"].items() if name != "their_price"}
    bare = {"units": 1, "each": [], "not_understood": [], "read_as": []}
    return [
        {**found, **bare, "read": {**shared, **one}, "kinds": one.get("kinds", found.get("kinds"))}
        for one in units
    ]


def counts_beside(name: str, kind: str, said: Table) -> bool:
    """Whether a field of a form still counts beside a sentence, which goes before what an old one
    left; where it names another kind, nothing of the old unit counts."""
    named = said["unit"].get("type", "")
    if named != "" and kind != "" and kind != named:
        return name in ("at_curb", "owner")
    if name in ("made", "age"):
        return len(said["made"]) == 0 and "age" not in said["unit"]
    return name not in said["unit"] and name not in said["known"]


def as_recorded(
    fault: str, type_name: str, mine: list[str], row_of: Callable[[str, str], list[Any]]
) -> str:
    """The fault in the record's own words where they mean the same ("no heat" of an electric dryer
    is "no heat (electric)"); else without the part that the type says."""
    bare = fault.split(" (")[0] if fault.endswith(")") else fault
    row, known = row_of(fault, type_name)
    if not known:
        return fault
    for one in [fault, bare, *mine]:
        if one in mine and row_of(one, type_name) == [row, True]:
            return one
    return bare if row_of(bare, type_name) == [row, True] else fault


def ranked_faults(read: Table, dangers: list[str], fixed: Callable[[str], float]) -> list[str]:
    """The faults said, the worst first: a danger, else the one least often fixed (`fixed`)."""
    faults = [read["fault"]] if read.get("fault") else read.get("faults", [])
    led = [name for name in faults if name in dangers]
    return led + sorted([name for name in faults if name not in dangers], key=fixed)


def notes(found: Table, faults: list[str], moment: str) -> list[str]:
    """What a person must know of how the line was read."""
    told = [f'I read "{one["said"]}" as "{one["read"]}".' for one in found["read_as"]]
    left = ", ".join([f'"{phrase}"' for phrase in found["not_understood"]])
    if left != "":
        it = "it" if len(found["not_understood"]) == 1 else "them"
        told.append(f"I did not understand {left} and left {it} out.")
    if "days_listed" in found and moment != "ask":
        days = str(int(found["days_listed"]))
        told.append(f"I read {days} days on the market: this answer doesn't count them.")
    if len(faults) > 1:
        others = ", ".join([f'"{name}"' for name in faults[1:]])
        told.append(f"I also read {others}: this answer counts the worst, {faults[0]}.")
    return told


def of_other_trade(found: Table, kind: str) -> list[str]:
    """[what is wrong, how to mend it] where a thing of another trade is asked about; [] else."""
    if kind == "" or kind not in found.get("other_trade", []):
        return []
    why = f"{kind} is not an appliance I have figures for, and no sale of yours tells its price"
    return [why, f'add sales of it, or write under [usual_price] in pricing.toml: "{kind}" = 100']


def at_curb(text: str) -> bool:
    """Whether the person stands there already.

    >>> at_curb("dryer, 40, I'm at the curb"), at_curb("it sits at the curb")
    (True, False)
    """
    line = " ".join([one["w"] for one in tokens_of(text)]) + " "
    for stands in ("i'm", "im", "already", "standing"):
        if line.find(stands + " at the curb ") >= 0 or line.find(stands + " at the kerb ") >= 0:
            return True
    return False


def open_number(found: Table) -> Any:
    """The one number whose meaning stayed open ("100: is that the price?"), else None."""
    numbers = []
    for phrase in found["not_understood"]:
        numbers += [one["n"] for one in tokens_of(phrase) if one["n"] is not None]
    return numbers[0] if len(numbers) == 1 else None
