"""A line in plain words, heard with the record's and the settings' own words, and made a question.

heard(text, moment, settings, known, as_of)   the object of `pricing read`
question_of(heard, settings)                  the Question that it asks
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from pricing.basis import words
from pricing.basis.assumed import assumed_faults, fault_row
from pricing.basis.question import Question
from pricing.basis.said_number import mark_of

if TYPE_CHECKING:
    from pricing.basis.settings import Settings

Words = Mapping[str, Collection[str]]  # column -> words that the record holds
MILES_A_KILOMETRE = 0.621371
# Fields of `read` that are columns of the unit, and numbers of the question.
UNIT = ("type", "maker", "condition", "fuel", "finish", "size", "found", "age")
NUMBERS = ("their_price", "miles", "parts", "hours", "fix_chance", "price", "spent_money",
           "spent_hours", "offered", "asked_now")  # fmt: skip


def heard(text: str, moment: str, settings: Settings, known: Words, as_of: date) -> dict[str, Any]:
    """What the line says: read, kinds, units, each, not_understood, asks_back, tags, read_as."""
    from pricing.words.reader import read
    from pricing.words.tables import load

    own = {**own_words(settings, known), "mark": mark_of(settings)}
    found = read(text, moment, load("said"), own, as_of.year)
    for part in (found["read"], *found.get("each", [])):
        _own_distance(part, settings)
    return found


def own_words(settings: Settings, known: Words) -> dict[str, dict[str, str]]:
    """The person's own words as the reader looks them up: {kind: {words as said: our name}}."""

    def keyed(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
        standard = _standard()
        return {
            words.squash(said): name
            for said, name in pairs
            if said and name and (said != name or name not in standard)
        }

    types = [(name, name) for name in known.get("type", ())]
    types += [(name, name) for name in (*settings.assumed_types, *settings.usual_price)]
    types += list(settings.words.get("types", {}).items())
    faults = [(name, name) for name in known.get("fault", ())]
    faults += [(name, name) for name in settings.assumed_faults]
    faults += list(settings.words.get("faults", {}).items())
    return {
        "types": keyed(types),
        "faults": keyed(faults),
        "makers": keyed((name, name) for name in known.get("maker", ())),
        "repairs": keyed(
            (name, name) for name in known.get("repair", ()) if name not in _standard()
        ),
        "features": keyed((name, name) for name in known.get("features", ())),
    }


def _standard() -> frozenset[str]:
    """Names that the tables hold, or a part of one ("no heat")."""
    from pricing.words.tables import load

    names = {str(name[2]) for name in load("said")["names"]}
    return frozenset(names | {name.split(" (")[0] for name in names})


def _own_distance(part: dict[str, Any], settings: Settings) -> None:
    """Distances in the person's own unit; one way is half of there and back."""
    if "miles" not in part and "km" in part:
        part["miles"] = part["km"] * (MILES_A_KILOMETRE if settings.distance_unit == "mi" else 1)
    elif "miles" in part and settings.distance_unit != "mi":
        part["miles"] /= MILES_A_KILOMETRE
    part.pop("km", None)
    if "round_km" in part:
        factor = MILES_A_KILOMETRE if settings.distance_unit == "mi" else 1
        part["round_trip_miles"] = part.pop("round_km") * factor
    elif "round_trip_miles" in part and settings.distance_unit != "mi":
        part["round_trip_miles"] /= MILES_A_KILOMETRE


def question_of(
    found: Mapping[str, Any], settings: Settings, moment: str = "offer", known: Words | None = None
) -> Question:
    """The question of the line; of several units the first, without the price for all."""
    units = list(found.get("each", []))
    first = units[0] if units else {}
    read = {**found["read"], **first}
    if units and "their_price" not in first:
        read.pop("their_price", None)
    kinds = first.get("kinds") or found.get("kinds")
    unit: dict[str, Any] = {name: read[name] for name in UNIT if read.get(name) not in (None, "")}
    if kinds and "type" not in unit:
        unit["type"] = _plain_word(kinds)
    if "size" in unit:
        unit["size"] = float(unit["size"])
    if "maker" in unit:
        unit["maker"] = words.canonical("maker", unit["maker"], settings)
    faults = ranked_faults(read)
    if faults:
        mine = (known or {}).get("fault", ())
        unit["fault"] = as_recorded(faults[0], str(unit.get("type", "")), mine, settings)
    for name, column in (("features", "features"), ("repair", "repair")):
        if read.get(name):
            unit[column] = "; ".join(sorted(set(map(str, read[name]))))
    numbers = {name: float(read[name]) for name in NUMBERS if read.get(name) is not None}
    if "miles" not in numbers and read.get("round_trip_miles") is not None:
        numbers["miles"] = read["round_trip_miles"] / 2
    if read.get("drive_min") is not None:
        numbers["drive_min"] = 2 * read["drive_min"]
    made = tuple(int(year) for year in read.get("made", ())) if "age" not in unit else ()
    if moment == "ask" and unit.get("fault") == "works; owner upgraded":
        unit.pop("fault")
    told = tuple(notes(found, faults))
    if found.get("units", 1) > 1 and moment != "offer":
        told += (f"I read {found['units']} units: this answers the first. Say the others alone.",)
    each = tuple(question_of(one, settings, moment, known) for one in _alone(found))
    return Question(unit, numbers, made, False, told, heard=dict(found), each=each)


MOST_UNITS = 12  # of one call that are answered one by one


def _alone(found: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What was heard of each of several units, as if it had been said alone; the price for all
    belongs to none of them."""
    n = int(found.get("units") or 1)
    if n < 2:
        return []
    units = list(found.get("each", []))
    units += [units[-1] if units else {} for _ in range(min(n, MOST_UNITS) - len(units))]
    shared = {name: value for name, value in found["read"].items() if name != "their_price"}
    bare = {"units": 1, "each": [], "not_understood": [], "read_as": []}
    return [
        {**found, **bare, "read": {**shared, **one}, "kinds": one.get("kinds", found.get("kinds"))}
        for one in units
    ]


def as_recorded(fault: str, type_name: str, mine: Collection[str], settings: Settings) -> str:
    """The fault in the record's own words where they mean the same ("no heat" of an electric dryer
    is "no heat (electric)"); else without the part that the type says."""
    table, family = assumed_faults(settings), words.family_of(type_name, settings)
    bare = fault.split(" (")[0] if fault.endswith(")") else fault
    row, known = fault_row(fault, type_name, family, table)
    if not known:
        return fault
    for one in (fault, bare, *mine):
        if one in mine and fault_row(one, type_name, family, table) == (row, True):
            return one
    return bare if fault_row(bare, type_name, family, table) == (row, True) else fault


def _plain_word(kinds: Collection[str]) -> str:
    from pricing.words.tables import rows

    for row in rows("plain_words"):
        if list(row["may_be"]) == list(kinds):
            return str(row["word"])
    return next(iter(kinds))


def ranked_faults(read: Mapping[str, Any]) -> list[str]:
    """The faults said, a danger first: it decides."""
    from pricing.words.tables import rows

    faults = [read["fault"]] if read.get("fault") else list(read.get("faults", []))
    dangers = {row["fault_as_told"] for row in rows("faults") if row["family"] == "danger"}
    return sorted(faults, key=lambda name: name not in dangers)


def notes(found: Mapping[str, Any], faults: list[str]) -> Iterable[str]:
    """What a person must know of how the line was read."""
    for mended in found["read_as"]:
        yield f'I read "{mended["said"]}" as "{mended["read"]}".'
    for phrase in found["not_understood"]:
        yield f'I did not understand "{phrase}" and left it out.'
    if len(faults) > 1:
        others = ", ".join(f'"{name}"' for name in faults[1:])
        yield f"I also read {others}: this answer counts {faults[0]} alone."


def bare_number(found: Mapping[str, Any] | None) -> float | None:
    """The one number of the line whose meaning stayed open; None for none or several."""
    from pricing.words.tokens import tokens_of

    phrases = open_numbers(found) if found else []
    numbers = [one["n"] for phrase in phrases for one in tokens_of(phrase) if one["n"] is not None]
    return numbers[0] if len(numbers) == 1 else None


def open_numbers(found: Mapping[str, Any]) -> list[str]:
    """The words left over that hold a number, for the question "100: is that the price?"."""
    return [phrase for phrase in found["not_understood"] if any(c.isdigit() for c in phrase)]
