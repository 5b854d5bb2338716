"""The question said back in our words."""

from typing import Any

from pricing.wording.plain import money, short

PRICES = {
    "parts": "parts", "price": "sells for", "helper": "helper", "offered": "bid",
    "asked_now": "listed at", "spent_money": "spent",
}  # fmt: skip


def said_back(
    unit: dict[str, Any], known: dict[str, Any], made: list[int], place: dict[str, Any]
) -> str:
    """`electric dryer, 8 years, good, "no heat", wants $40, 12 miles each way`."""
    named = [name_of_maker(str(unit["maker"]))] if unit.get("maker") else []
    parts = [" ".join([*named, str(unit.get("type") or "")])]
    parts += _unit(unit, made, place) + _known(known, place)
    return ", ".join([part for part in parts if part])


def name_of_maker(maker: str) -> str:
    """A maker's name with capitals, as people write it.

    >>> name_of_maker("old harbor")
    'Old Harbor'
    """
    return " ".join([f"{word[0].upper()}{word[1:]}" for word in maker.split(" ") if word])


def fault_said(fault: str) -> str:
    """A fault as a person says it: what the owner complains of stands in quotes, what the tables
    call by a longer name is said plainly.

    >>> fault_said("no heat"), fault_said("works; owner upgraded")
    ('"no heat"', 'works')
    """
    plain = {"works; owner upgraded": "works", 'not known / "doesn\'t work"': "doesn't work"}
    return plain.get(fault, f'"{fault}"')


def _unit(unit: dict[str, Any], made: list[int], place: dict[str, Any]) -> list[str]:
    parts = []
    age = unit.get("age")
    if made:
        parts.append("made " + " or ".join([str(year) for year in made]))
    elif age is not None:
        parts.append("1 year" if age == 1 else f"{short(age, 2)} years")
    parts += [str(unit[name]) for name in ("condition", "tier", "fuel", "finish") if unit.get(name)]
    if unit.get("features"):
        parts.append(unit["features"].replace("; ", ", "))
    if unit.get("fault"):
        parts.append(fault_said(unit["fault"]))
    if unit.get("found"):
        parts.append(f"found: {unit['found']}")
    if unit.get("repair"):
        parts.append("repair: " + unit["repair"].replace("; ", ", "))
    for name in place["attributes"]:
        told = unit.get(name)
        if told is not None:
            parts.append(f"{name} {told if name in place['words'] else short(told, 4)}")
    return parts


def _known(known: dict[str, Any], place: dict[str, Any]) -> list[str]:
    parts = []
    wants = known.get("their_price")
    if wants is not None:
        pays = "free" if wants == 0 else f"they pay you {money(-wants, place)}"
        parts.append(f"wants {money(wants, place)}" if wants > 0 else pays)
    for name, words in PRICES.items():
        if known.get(name) is not None:
            parts.append(f"{words} {money(known[name], place)}")
    parts += _worked(known)
    if known.get("fix_chance") is not None:
        parts.append(f"{short(known['fix_chance'] * 10, 2)} of 10 to fix")
    if known.get("miles") is not None:
        unit = "miles" if place["distance_unit"] == "mi" else "km"
        parts.append(f"{short(known['miles'], 2)} {unit} each way")
    if known.get("drive_min") is not None:
        parts.append(f"{short(known['drive_min'], 0)} minutes there and back")
    if known.get("stairs"):
        floors = known["stairs"]
        flights = "one flight" if floors == 1 else f"{short(floors, 1)} flights"
        parts.append(f"{flights} of stairs")
    if known.get("on_trip", 1) > 1:
        parts.append(f"{short(known['on_trip'], 0)} units on this drive")
    return parts


def _worked(known: dict[str, Any]) -> list[str]:
    """Hours still to work, and hours that are in already."""
    parts = []
    for name, behind in [["hours", "of work"], ["spent_hours", "in"]]:
        if known.get(name) is not None:
            work = short(known[name], 2)
            parts.append(f"{work} hour{'' if work == '1' else 's'} {behind}")
    return parts
