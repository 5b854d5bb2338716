"""Which appliances a line speaks of: where each is named, and which words belong to which."""

from __future__ import annotations

from typing import Any

from pricing.words.mending import known
from pricing.words.sayings import saying_at
from pricing.words.tokens import Token

Mention = dict[str, Any]
# Part of a bigger unit that is named by a word of its own: the words, and the families of faults
# that they stand for there.
PARTS = {
    "washer": "washer", "dryer": "dryer", "fridge": "fridge", "freezer": "fridge",
    "oven": "range", "cooktop": "range", "microwave": "microwave", "range": "range",
    "ice maker machine": "fridge",
}  # fmt: skip
COUNT_WORDS = (
    "broken old used white black dead working good nice electric gas matching identical stainless"
    " more other of the same different big small non nonworking whole brand new apartment size"
).split(" ")


def mentions_of(
    tokens: list[Token], forms: list[str], tables: dict[str, Any], own: dict[str, Any]
) -> list[Mention]:
    """Each place where an appliance is named, longest names first come: {start, end, type, kinds,
    goods}."""
    found: list[Mention] = []
    i = 0
    n = len(tokens)
    # "compact 24 inch dryer": the size between the words is passed over
    bare = [forms[k] if tokens[k]["used"] not in ("size", "volts") else "" for k in range(n)]
    while i < n:
        one = _mention_at(tokens, forms, i, tables, own)
        other = _mention_at(tokens, bare, i, tables, own)
        if one is None or (other is not None and other["end"] > one["end"]):
            one = other
        if one is None:
            i += 1
            continue
        found.append(one)
        i = one["end"]
    known = [one for one in found if not one["goods"]]
    found = [m for m in found if not _beside(tokens, m)]
    if len([m for m in found if not m["goods"]]) == 0:
        found += _ice_maker(tokens)
    if len(known) > 0:  # a mower beside a dryer is what they want in trade, or how it was moved
        found = [m for m in found if not m["goods"] or m["type"] in tables["refused_goods"]]
    return found


def _ice_maker(tokens: list[Token]) -> list[Mention]:
    """ "Ice maker" is a machine of its own where nothing else is named."""
    for i in range(len(tokens)):
        word = tokens[i]["w"]
        two = word == "ice" and i + 1 < len(tokens) and tokens[i + 1]["w"] in ("maker", "makers")
        if two or word == "icemaker":
            end = i + 2 if two else i + 1
            return [{"start": i, "end": end, "type": "ice maker machine", "goods": False}]
    return []


def _beside(tokens: list[Token], one: Mention) -> bool:
    """ "Sitting side by side in the garage" is no kind of fridge."""
    before = tokens[one["start"] - 1]["w"] if one["start"] > 0 else ""
    if before == "price" or (before == "new" and tokens[one["start"]]["w"] == "glass"):
        return True
    return one["type"] == "side-by-side fridge" and before in (
        "sitting", "standing", "stand", "sit", "placed", "are", "stood", "sat",
    )  # fmt: skip


def _mention_at(
    tokens: list[Token], forms: list[str], i: int, tables: dict[str, Any], own: dict[str, Any]
) -> Mention | None:
    goods = listed_at(tokens, i, tables["other_goods"], 4)
    kinds = own.get("types", {})
    mine = listed_at(tokens, i, kinds, 6)
    best: Mention | None = None
    if forms[i] != "" and tokens[i]["used"] in ("", "size"):
        end = i + 1
        while end < len(tokens) and tokens[end]["stop"] == 0 and end < i + 8:
            end += 1
        for hit in saying_at(forms, i, end, tables):
            for entry in hit[1]:
                name = tables["names"][entry[0]]
                if name[0] in ("type", "plain word") and best is None:
                    best = {"start": i, "end": hit[0], "type": name[2], "goods": False}
            if best is not None:
                break
    if mine > 0 and (best is None or i + mine >= best["end"]):
        key = " ".join([one["w"] for one in tokens[i : i + mine]])
        return {"start": i, "end": i + mine, "type": kinds[key], "goods": False}
    turned = _own_in_words(tokens, i, own.get("by_words", {}), tables)
    if turned is not None and (best is None or turned["end"] > best["end"]):
        return turned
    if goods > 0 and (best is None or i + goods > best["end"]):
        words = " ".join([one["w"] for one in tokens[i : i + goods]])
        return {"start": i, "end": i + goods, "type": words, "goods": True}
    return best


def _own_in_words(
    tokens: list[Token], i: int, by_words: dict[str, str], tables: dict[str, Any]
) -> Mention | None:
    """A type of the person's own by its words in another order, or by a word that is its alone."""
    if len(by_words) == 0 or tokens[i]["used"] != "" or tokens[i]["n"] is not None:
        return None
    words: list[str] = []
    found: Mention | None = None
    for end in range(i, min(i + 6, len(tokens))):
        if end > i and tokens[end]["stop"] > 0:
            break
        words = [*words, tokens[end]["w"]]
        key = " ".join(sorted(words))
        if key in by_words and (end > i or not known(key, tables)):
            found = {"start": i, "end": end + 1, "type": by_words[key], "goods": False}
    return found


def listed_at(tokens: list[Token], i: int, listed: Any, most: int) -> int:
    """How many tokens from i make a listed phrase; the longest, 0 for none."""
    key = ""
    best = 0
    for n in range(most):
        if i + n >= len(tokens) or (n > 0 and tokens[i + n]["stop"] > 0):
            break
        key = tokens[i]["w"] if n == 0 else key + " " + tokens[i + n]["w"]
        if key in listed:
            best = n + 1
    return best


def is_plain(name: str, tables: dict[str, Any]) -> bool:
    return name in tables["kinds"]


def part_family(unit: str, said: str, tables: dict[str, Any]) -> str:
    """The family of faults that `said` names as a part of `unit`; "" where it is no part.

    The washer of a pair, the freezer of a fridge, the oven of a range.
    """
    if unit == said:
        return "same"
    if (
        len(tables["families"].get(unit, [])) > 1
        and PARTS.get(said, "") in tables["families"][unit]
    ):
        return PARTS[said]
    if is_plain(said, tables) and unit in tables["kinds"][said]:
        return "same"
    if is_plain(unit, tables) and is_plain(said, tables):
        if tables["kinds"][said][0] in tables["kinds"][unit]:
            return "same"
    if said not in PARTS:
        return ""
    family = PARTS[said]
    if is_plain(unit, tables):
        kind = tables["kinds"][unit][0]
    else:
        kind = unit
    families = tables["families"].get(kind, [])
    if family not in families:
        return ""
    if family in ("washer", "dryer") and len(families) < 2:
        return "same"
    if kind in ("compact fridge", "chest freezer", "upright freezer", "ice maker machine"):
        return "" if said == "ice maker machine" else "same"
    if kind == "range hood":
        return ""
    if said in ("oven", "range") and kind in ("electric cooktop", "gas cooktop"):
        return ""
    return family


AS_TOOL = ("with using via by for under").split(" ")


def units_of(tokens: list[Token], mentions: list[Mention], tables: dict[str, Any]) -> list[Mention]:
    """The mentions that are units of their own, in order; the others become parts of them: their
    `part` names the family, `unit` the place of the unit in the list."""
    units: list[Mention] = []
    for one in mentions:
        before = tokens[one["start"] - 1] if one["start"] > 0 else None
        word = before["w"] if before is not None and tokens[one["start"]]["stop"] == 0 else ""
        two = tokens[one["start"] - 2]["w"] if one["start"] > 1 and word != "" else ""
        one["unit"] = -1
        one["part"] = ""
        one["count"] = _count_before(tokens, one["start"], _most(tokens, one))
        if one["count"] == 1 and len(mentions) == 1:
            one["count"] = _count_after(tokens, one["end"])
            one["behind"] = one["count"] > 1
        if len(units) == 0 or not _in_a_unit(tokens, units, one, word, two, tables):
            one["unit"] = len(units)
            units.append(one)
    return units


def _in_a_unit(
    tokens: list[Token],
    units: list[Mention],
    one: Mention,
    word: str,
    two: str,
    tables: dict[str, Any],
) -> bool:
    """Whether a mention belongs to a unit named before: it gets its `part` and `unit`. word, two:
    the words before it."""
    one["unit"] = len(units) - 1
    if one["type"] == "laundry pedestal" and word not in ("a", "an", "plus"):
        one["part"] = "feature"
    elif _tool(word, two):
        one["part"] = "tool"
    if one["part"] != "" or _part_of_last(units, one, word, two, tables):
        return True
    one["unit"] = 0
    if len(units) == 1 and _of_same_family(tokens, units[0], one, word, tables):
        one["part"] = "same"
        return True
    one["part"] = "narrow"
    its = word in ("on", "of", "in", "my", "the", "from", "for", "it's", "its")
    its = its or two in ("it's", "its", "is", "thats", "that's")
    if len(units) == 1 and is_plain(units[0]["type"], tables) and its:
        if part_family(one["type"], units[0]["type"], tables) not in ("", "same"):
            units[0]["type"] = one["type"]  # "the freezer of my side by side"
            return True
    back = _narrower(units, one, tables)
    if back >= 0:
        _narrow(units[back], one, tables)
        one["unit"] = back
        return True
    one["part"] = ""
    return False


def _part_of_last(
    units: list[Mention], one: Mention, word: str, two: str, tables: dict[str, Any]
) -> bool:
    """Whether it is a part of the last unit that can have one, and nothing says it is another."""
    for k in range(len(units)):
        at = len(units) - 1 - k
        family = part_family(units[at]["type"], one["type"], tables)
        if family == "":
            continue
        again = word in ("a", "an", "another", "plus")
        fresh = again or two in ("plus", "and a", "also a") or one["count"] > 1
        if family == "same" and fresh and one["type"] == units[at]["type"]:
            fresh = word == "another" or one["count"] > 1
        if fresh and again and _other(one, units, at):
            return False
        one["part"] = family
        one["unit"] = at
        return True
    return False


def _of_same_family(
    tokens: list[Token], unit: Mention, one: Mention, word: str, tables: dict[str, Any]
) -> bool:
    """ "Side by side, warm up top freezer ok": a second kind of the same family in the same breath
    is a place in the unit, no unit of its own."""
    if one["goods"] or unit["goods"] or word in ("", "and", "a", "an", "plus", "&", "with", "or"):
        return False
    if one["count"] > 1 or is_plain(unit["type"], tables) or is_plain(one["type"], tables):
        return False
    mine = tables["families"].get(unit["type"], [])
    between = [t["w"] for t in tokens[unit["end"] : one["start"]]]
    stopped = len([t for t in tokens[unit["end"] : one["start"]] if t["stop"] > 0]) > 0
    return not stopped and "and" not in between and mine == tables["families"].get(one["type"], [])


def _tool(word: str, two: str) -> bool:
    return word in AS_TOOL or two in AS_TOOL or word in ("fits", "fit") or two in ("fits", "fit")


def _other(one: Mention, units: list[Mention], at: int) -> bool:
    """Whether "a freezer" beside a fridge is a second unit: it has a word of its own."""
    return one["type"] in (
        "freezer", "fridge", "microwave", "washer", "dryer", "oven", "cooktop", "ice maker machine",
    )  # fmt: skip


def _narrower(units: list[Mention], one: Mention, tables: dict[str, Any]) -> int:
    """A unit named by a plain word before, now by one of its kinds ("fridge, a side by side")."""
    for k in range(len(units)):
        j = len(units) - 1 - k
        name = units[j]["type"]
        if name in ("washer + dryer pair", "washer-dryer") and one["type"] in WASHER_PAIRS:
            return j
        if is_plain(name, tables) and one["type"] in tables["kinds"][name]:
            return j
        if is_plain(name, tables) and is_plain(one["type"], tables):
            inside = [x for x in tables["kinds"][one["type"]] if x in tables["kinds"][name]]
            if len(inside) == len(tables["kinds"][one["type"]]):
                return j
    return -1


WASHER_PAIRS = {
    "top-load washer": "top-load washer + dryer pair",
    "front-load washer": "front-load washer + dryer pair",
}


def _narrow(unit: Mention, one: Mention, tables: dict[str, Any]) -> None:
    name = unit["type"]
    unit["type"] = one["type"]
    if one["type"] in WASHER_PAIRS and name in ("washer + dryer pair", "washer-dryer"):
        unit["type"] = WASHER_PAIRS[one["type"]]


def _count_after(tokens: list[Token], start: int) -> int:
    """How many are said behind: "2 of them available", "have three of these"."""
    for i in range(start, len(tokens) - 2):
        n = tokens[i]["n"]
        if n is None or tokens[i]["used"] != "" or tokens[i]["money"] != "" or not 2 <= n <= 12:
            continue
        words = [tokens[i + 1]["w"], tokens[i + 2]["w"]]
        said = words == ["of", "them"] or words == ["of", "these"] or words == ["of", "em"]
        after = tokens[i + 3]["w"] if i + 3 < len(tokens) and tokens[i + 3]["stop"] == 0 else ""
        if said and n == int(n) and after in ("", "available", "total", "left", "here", "in"):
            tokens[i]["used"] = "units"
            return int(n)
    return 1


def _most(tokens: list[Token], one: Mention) -> int:
    """How many can be meant: twenty where the name is plural, six in "2 dryer"."""
    for i in range(one["start"], one["end"]):
        word = tokens[i]["w"]
        if word.endswith("s") and not word.endswith("ss") and word not in ("gas", "glass"):
            return 20
    return 6


def _count_before(tokens: list[Token], start: int, most: int) -> int:
    """How many are said right before the name: "two old dryers", "pile of 4 broken dryers"."""
    i = start
    steps = 0
    while i > 0 and steps < 4 and tokens[i]["stop"] == 0:
        i -= 1
        steps += 1
        one = tokens[i]
        if one["n"] is not None:
            value = one["n"]
            whole = value == int(value) and 1 <= value <= most
            if whole and one["used"] == "" and one["money"] == "":
                return int(value)
            return 1
        if one["w"] == "pair" and tokens[i + 1]["w"] == "of" and most == 20:
            one["n"] = 2.0
            return 2
        if one["w"] not in COUNT_WORDS:
            return 1
    return 1
