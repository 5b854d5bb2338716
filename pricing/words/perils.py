"""Which dangers a text tells, by the signs of `data/words/perils.csv`. Plain functions over lists
and dicts, no regular expression: the phone's file holds the same code, translated.

A sign asks for one word of each of its groups in one clause ("smells" and "gas"), none of its
exceptions, and no denial straight before a word ("no gas smell"). A word stands for its beginning;
"=" asks for the whole word. What is not sure counts as told: a missed danger costs more than a
needless warning.
"""

from typing import Any

STOPS = ",.;:!?()[]{}|\n\r\t/"
NOT = (
    "no not never without doesn't doesnt isn't isnt don't dont didn't didnt won't wont can't cant"
    " cannot wasn't wasnt hasn't hasnt haven't havent ain't aint aren't arent weren't werent nor"
    " zero couldn't couldnt"
).split(" ")
# Words that may stand between a denial and what it denies: "no sign of any mice".
BETWEEN = (
    "any a an the in sign signs of visible been ever even have has had smell like got gas on or nor"
    " so much as whiff a mice mouse rats bugs roaches pests mold fire floods flood leaks sparks"
    " smoke recalls"
).split(" ")
# After these "gas" is the fuel: "gas range smells" tells of no gas smell.
FUEL_OF = (
    "dryer range stove oven cooktop cook appliance model unit version type or powered fired fridge"
    " slide clothes laundry apartment"
).split(" ")
TELLS_GAS = ("smell", "leak", "of", "like", "odor", "hiss")


def clauses(text: str) -> list[str]:
    """The parts between stops, in small letters, each word between blanks.

    >>> clauses("Gas range - smells, NOT leaking")
    [' gas range smells ', ' not leaking ']
    """
    flat = text.lower().replace("’", "'").replace("‘", "'").replace("`", "'").replace("´", "'")
    for dash in '-–—_"“”*+&':
        flat = flat.replace(dash, " ")
    for stop in STOPS:
        flat = flat.replace(stop, "|")
    flat = flat.replace(" but ", "|").replace(" except ", "|").replace(" though ", "|")
    found = []
    for part in flat.split("|"):
        words = [word for word in part.split(" ") if word != ""]
        if len(words) > 0:
            found.append(" " + " ".join(words) + " ")
    return found


def without_fuel(clause: str) -> str:
    """The clause without the "gas" that only says what the unit burns.

    >>> without_fuel(" gas range smells "), without_fuel(" smells of gas ")
    (' range smells ', ' smells of gas ')
    """
    words = clause.strip().split(" ")
    out = " "
    for i in range(len(words)):
        after = words[i + 1] if i + 1 < len(words) else ""
        before = words[i - 1] if i > 0 else ""
        fuel = words[i] == "gas" and len([w for w in FUEL_OF if after.startswith(w)]) > 0
        if fuel and len([w for w in TELLS_GAS if before.startswith(w)]) == 0:
            continue
        out = out + words[i] + " "
    return out


SOUGHT: dict[str, str] = {}  # by the word of a sign: what is looked for, made once


def sought(said: str) -> str:
    """What is looked for in a clause."""
    if said not in SOUGHT:
        whole = said.startswith("=")
        SOUGHT[said] = " " + (said[1:] + " " if whole else said).replace("-", " ")
    return SOUGHT[said]


def denied(clause: str, at: int) -> bool:
    """Whether a denial stands straight before this place.

    >>> denied(" no sign of mice ", 12), denied(" no heat smells gas ", 9)
    (True, False)
    """
    words = [word for word in clause[0:at].split(" ") if word != ""]
    i = len(words) - 1
    while i >= 0 and words[i] in BETWEEN:
        i = i - 1
    return i >= 0 and words[i] in NOT


def told(clause: str, group: list[str], flat: bool) -> bool:
    """Whether one word of the group stands in the clause, and not denied."""
    for said in group:
        wanted = sought(said)
        if wanted in clause and (flat or not_denied(clause, wanted)):
            return True
    return False


def not_denied(clause: str, wanted: str) -> bool:
    """Whether it stands in one place at least with no denial before it."""
    at = clause.find(wanted)
    while at >= 0:
        if not denied(clause, at + 1):
            return True
        at = clause.find(wanted, at + 1)
    return False


def fits(clause: str, row: dict[str, Any]) -> bool:
    """Whether a sign is in a clause."""
    flat = row["flat"] == "yes"
    for group in row["all_of"]:
        if not told(clause, group, flat):
            return False
    return not told(clause, row["none_of"], True)


def may_be(only_for: str, kind: dict[str, Any]) -> bool:
    """Whether a sign can be about this kind of unit; a kind that nobody knows can be anything."""
    late = [year for year in kind["made"] if year >= 1990]
    burns = "range" in kind["families"] or "dryer" in kind["families"]
    held: dict[str, bool] = {
        "": True, "gas": kind["gas"] == "yes", "maybe gas": kind["gas"] != "no",
        "not gas": kind["gas"] != "yes", "old": len(kind["made"]) > 0 and len(late) == 0,
        "other": not kind["resale"], "microwave": "microwave" in kind["families"],
        "not microwave": "microwave" not in kind["families"],
        "cold": kind["cold"] or not kind["known"], "not cold": not kind["cold"],
        "burns": burns or not kind["known"],
    }  # fmt: skip
    return held[only_for]


def perils_in(text: str, kind: dict[str, Any], signs: list[dict[str, Any]]) -> list[str]:
    """The names of the cautions that the text tells, each once, in the order of the table."""
    fit = [fitting(without_fuel(clause), signs) for clause in clauses(text)]
    found: list[str] = []
    for i in sorted([i for places in fit for i in places]):
        if signs[i]["caution"] not in found and may_be(signs[i]["only_for"], kind):
            found.append(signs[i]["caution"])
    return found


# Many questions tell of the same kinds and faults: the signs of a clause, for the table at hand.
KEPT: dict[str, Any] = {"signs": None, "of": {}}
MOST_KEPT = 5000


def fitting(clause: str, signs: list[dict[str, Any]]) -> list[int]:
    """Places of the signs that are in a clause."""
    if KEPT["signs"] is not signs or len(KEPT["of"]) > MOST_KEPT:
        KEPT["of"] = {}
        KEPT["signs"] = signs
    of: dict[str, list[int]] = KEPT["of"]
    if clause not in of:
        of[clause] = [i for i in range(len(signs)) if fits(clause, signs[i])]
    return of[clause]
