"""A washer and a dryer in one breath are a pair; families and sides of faults; parts of a line."""

from typing import Any

from pricing.words.tokens import SAID, Table, Tables, Token, Tokens

Field = list[Any]  # [name, value, place of its token]


def pair_up(tokens: Tokens, units: list[Any], mentions: list[Any]) -> list[Any]:
    """A washer and a dryer named in one breath ("front load washer and electric dryer set") are a
    pair, where no "a" stands before the second."""
    out: list[Any] = []
    k = 0
    while k < len(units):
        one = units[k]
        after = units[k + 1] if k + 1 < len(units) else None
        pair = _pair(tokens, one, after) if after is not None else ""
        if pair != "" and after is not None:
            for mention in mentions:
                if mention["unit"] == k + 1:
                    mention["unit"] = k
                    if mention is after:
                        mention["part"] = "pair"
                elif mention["unit"] > k + 1:
                    mention["unit"] -= 1
            for mention in mentions:
                if mention["unit"] == k and mention["part"] == "same":
                    mention["part"] = "dryer" if mention["type"].endswith("dryer") else "washer"
            fuel = (after if one["type"].endswith("washer") else one)["type"].split(" ")[0]
            one["type"] = pair
            if fuel in ("gas", "electric"):
                one["fuel"] = fuel
            out.append(one)
            k += 2
            continue
        out.append(one)
        k += 1
    out = _one_set(tokens, out, mentions)
    for place in range(len(out)):
        out[place]["unit"] = place
    return out


PAIR = "washer + dryer pair"


def _one_set(tokens: Tokens, units: list[Any], mentions: list[Any]) -> list[Any]:
    """A washer, a dryer and their set named apart ("washer leaks, 150 for the set") are one set."""
    sets = [one for one in units if one["type"].endswith(PAIR)]
    rest = [one for one in units if not one["type"].endswith(PAIR)]
    washers = [one for one in rest if one["type"].endswith("washer") and one["count"] < 3]
    dryers = [one for one in rest if one["type"].endswith("dryer") and one["count"] < 2]
    first = units[0]["start"] if len(units) > 0 else 0
    lead = [one["w"] for one in tokens[max(first - 4, 0) : first]]
    if len(sets) == 0 and "pair" not in lead and "set" not in lead:
        return units
    if len(units) < 2 or len(washers) > 1 or len(dryers) > 1:
        return units
    if len(washers) + len(dryers) < len(rest):
        return units
    whole = units[0]
    sides = [one["type"][0:5] for one in [*sets, *washers]]
    both = len(washers) == len(dryers)
    for one in mentions:
        told = units[one["unit"]]
        if told in rest and one["part"] in ("", "same", "narrow"):
            one["part"] = ("dryer" if told in dryers else "washer") if both else "pair"
        one["unit"] = 0
    whole["count"] = 1
    whole["type"] = PAIR
    for one in dryers:
        whole["fuel"] = one["type"].split(" ")[0] if one["type"] != "dryer" else ""
    if "front" in sides or "top-l" in sides:
        whole["type"] = ("front-load " if "front" in sides else "top-load ") + PAIR
    return [whole]


def _pair(tokens: Tokens, one: Any, after: Any) -> str:
    washers = ["top-load washer", "front-load washer", "washer"]
    first, last = (one, after) if one["type"] in washers else (after, one)
    if first["type"] not in washers or last["type"] not in ("dryer", "electric dryer", "gas dryer"):
        return ""
    between = [t["money"] + t["w"] for t in tokens[one["end"] : after["start"]]]  # no "$40" there
    if len(between) > 3 or "a" in between or "an" in between or after["count"] > 1:
        return ""
    if tokens[after["start"]]["stop"] > 0 or "$" in "".join(between):
        return ""
    joined = [w for w in between if w in ("and", "n", "&", "+", "/", "with", "plus")]
    return first["type"] + " + dryer pair" if len(joined) > 0 else ""


def mark_mentions(tokens: Tokens, mentions: list[Any]) -> None:
    """The words that name appliances are used, those of a part stay words of its fault."""
    for one in mentions:
        for i in range(one["start"], one["end"]):
            if one["part"] in ("", "pair", "narrow"):
                tokens[i]["used"] = "type" if tokens[i]["used"] != "size" else "size"
            elif one["part"] == "same":
                tokens[i]["part"] = "same"
            elif one["part"] == "tool":
                tokens[i]["used"] = "tool"
            elif one["part"] in ("washer", "dryer", "microwave"):
                tokens[i]["used"] = "part"
            else:
                tokens[i]["part"] = one["part"]
        if one["count"] > 1 and one["part"] == "" and not one.get("behind", False):
            j = one["start"] - 1
            while j >= 0 and tokens[j]["n"] is None:
                j -= 1
            if j >= 0:
                tokens[j]["used"] = "units"


def name_again(tokens: Tokens, units: list[Any], mentions: list[Any]) -> None:
    """Where each unit is named once more: by its name, or as "the gas one", "the top loads"."""
    for i in range(len(tokens) - 1) if len(units) > 1 else []:
        one = tokens[i + 1]["w"] in ("one", "ones") and tokens[i + 1]["stop"] == 0
        alone = one or (tokens[i]["stop"] > 0 and tokens[i + 1]["stop"] == 0)
        said = [k for k in range(len(units)) if _told_by(tokens, i, units[k])]
        if alone and len(said) == 1:
            end = i + 2 if one else i + 1
            again = {**units[said[0]], "start": i, "end": end, "count": 1, "unit": said[0]}
            mentions.append({**again, "part": "same"})
            for token in tokens[i:end]:
                token["part"] = "same"
    for one in mentions:
        if one["unit"] < len(units):
            units[one["unit"]]["named"] = [*units[one["unit"]].get("named", []), one["start"]]


def _told_by(tokens: Tokens, i: int, unit: Any) -> bool:
    its = tokens[i]["w"] in unit["type"] or tokens[i]["w"] == unit.get("fuel")
    return its and tokens[i]["w"] in SAID["told by"] and bool(unit["end"] <= i)


def blank_unit(one: Any, tables: Table, own: Table, words: list[str]) -> Table:
    """A unit before its faults are read: its families of faults and its sides. words: all said."""
    name = one["type"] if one is not None else ""
    goods = one is not None and one["goods"]
    plain = name in tables["kinds"]
    kinds = tables["kinds"][name] if plain else [name]
    families = _families_of(kinds, tables, words)
    said = words[one["start"] : one["end"]] if name.startswith("commer") else []
    coin = [family for family in families if family in said or family + "s" in said]
    families = coin if len(coin) == 1 else families
    sides = list(tables["sides"].get(name, []))
    if len(families) == 0 and name in own.get("families", {}):
        families = list(own["families"][name])
        sides = _sides_in(" " + name.lower().replace("-", " ") + " ")
    count = one["count"] if one is not None else 1
    unit = {"type": name, "goods": goods, "count": count, "plain": plain, "families": families}
    torn = one is not None and one.get("torn", False)
    unit = {**unit, "sides": [] if goods else sides, "torn": torn}
    return {**unit, "faults": [], "found": "", "repair": []}


def _families_of(kinds: list[str], tables: Table, words: list[str]) -> list[str]:
    """The families of faults of the kinds that a name may stand for, but for rare ones."""
    held = [tables["families"].get(kind, []) for kind in kinds]
    families: list[str] = []
    for of_kind in held:
        for family in of_kind:
            share = len([one for one in held if family in one]) / len(held)
            if family != "none" and family not in families:
                if family == of_kind[0] or share >= 0.5 or family in words:
                    families.append(family)
    return families


def _sides_in(name: str) -> list[str]:
    """The sides that the words of a type of one's own tell."""
    sides = [side for side in ("gas", "electric") if name.find(" " + side) >= 0]
    loads = [one for one in ("top", "front") if name.find(" " + one + " load") >= 0]
    return sides + [one + "-load" for one in loads]


def give_fuel(tokens: Tokens, units: list[Any], heard: Tables, fields: list[Field]) -> None:
    """Gas or electric, said in the name or beside it, narrows the faults of its unit."""
    for k in range(len(units)):
        one = heard[k]
        if one["goods"]:
            continue
        if units[k].get("fuel", "") in ("gas", "electric"):
            fields.append(["fuel", units[k]["fuel"], units[k]["start"]])
        for i in range(units[k]["start"], units[k]["end"]):
            word = tokens[i]["w"]
            load = word in ("top", "front") and i + 1 < len(tokens)
            if load and tokens[i + 1]["w"].startswith("load") and one["type"].startswith("comm"):
                one["sides"] = [*one["sides"], word + "-load"]
            fuel = "gas" if word in ("gas", "propane", "lp") else ""
            fuel = "electric" if word in ("electric", "elec") else fuel
            if word in ("propane", "lp", "lpg"):
                fields.append(["fuel said", "propane", i])
            sided = "gas" in one["sides"] or "electric" in one["sides"]
            if fuel != "" and (not sided or "wall oven" in one["type"]):
                fields.append(["fuel", fuel, i])
    for field in fields:
        if field[0] != "fuel":
            continue
        at = unit_at(field[2], units)
        every = len(units) > 0 and "cut" in units[0] and field[2] < units[0]["cut"]
        for one in heard if every else [heard[at]]:
            _narrow_by_fuel(one, field)


def _narrow_by_fuel(one: Table, field: Field) -> None:
    """A dryer, range or cooktop whose fuel is told is of that kind."""
    if "gas" not in one["sides"] and "electric" not in one["sides"]:
        one["sides"] = [*one["sides"], "gas" if field[1] == "propane" else field[1]]
        if one["type"] == "dryer":
            one["type"] = one["sides"][-1] + " dryer"
            one["plain"] = False
        elif one["type"] == "range":
            one["type"] = "gas range" if one["sides"][-1] == "gas" else "electric range"
            one["plain"] = one["type"] == "electric range"
        elif one["type"] == "cooktop":
            one["type"] = one["sides"][-1] + " cooktop"
            one["plain"] = False
    elif field[1] == "propane" or "wall oven" not in one["type"]:
        field[0] = "fuel said"


def unit_at(i: int, units: list[Any]) -> int:
    """The place of the unit whose words token i belongs to: the last one named before it."""
    at = 0
    last = -1
    for k in range(len(units)):
        for start in [units[k]["start"], *units[k].get("named", [])]:
            if last <= start <= i:
                at = k
                last = start
    return at


def parts_of(tokens: Tokens, mentions: list[Any], units: list[Any]) -> Tables:
    """The line cut at stops and at "but", "except" …: {start, end, unit, part: family or ""}."""
    cuts = [0]
    named = [_from_its_a(tokens, one["start"]) for one in units[1:]]
    apart = len(units) > 0 and "cut" not in units[0]
    if len(units) == 1 and units[0]["type"].endswith("pair"):
        of_it = [one["start"] for one in mentions if one["part"] in ("washer", "dryer")]
        named += [i for i in of_it if i > 0 and tokens[i - 1]["w"] in ("the", "and")]
    named += _between_parts(tokens, mentions) if len(units) == 1 else []
    if len(units) > 1:  # "stove works, fridge doesn't": each word of it goes with its own
        named += [one["start"] for one in mentions if one["part"] == "same"]
    for i in range(1, len(tokens)):
        split = tokens[i]["w"] in SAID["split"] and tokens[i - 1]["w"] not in ("glow", "glows")
        if tokens[i]["stop"] > 0 or split or i in named:
            if cuts[-1] != i:
                cuts.append(i)
    cuts.append(len(tokens))
    parts: list[dict[str, Any]] = []
    for k in range(len(cuts) - 1):
        if cuts[k] == cuts[k + 1]:
            continue
        part = {"start": cuts[k], "end": cuts[k + 1], "unit": unit_at(cuts[k], units), "part": ""}
        for one in mentions:
            if cuts[k] <= one["start"] < cuts[k + 1]:
                if one["part"] not in ("", "same", "pair", "tool"):
                    part["part"] = one["part"] if part["part"] == "" else "both"
                if one["part"] != "tool" and apart:
                    part["unit"] = one["unit"]
        if part["part"] == "" and len(parts) > 0 and tokens[cuts[k]]["stop"] == 0:
            part["part"] = parts[-1]["part"]
        named_in = [m for m in mentions if part["start"] <= m["start"] < part["end"]]
        if len(parts) > 0 and apart and len(named_in) == 0:
            part["unit"] = parts[-1]["unit"]
        parts.append(part)
    return parts


def _between_parts(tokens: Tokens, mentions: list[Any]) -> list[int]:
    """Where a second part of one unit begins: "oven side is dead microwave side heats"."""
    sides = [one for one in mentions if one["part"] in ("washer", "dryer", "range", "microwave")]
    found: list[int] = []
    for k in range(1, len(sides)):
        between = tokens[sides[k - 1]["end"] : sides[k]["start"] + 1]
        said = [one for one in between[0:-1] if one["w"] not in SAID["between parts"]]
        stops = [one for one in between if one["stop"] > 0]
        if sides[k]["part"] != sides[k - 1]["part"] and len(said) > 0 and len(stops) == 0:
            found.append(sides[k]["start"])
    return found


def _from_its_a(tokens: Tokens, start: int) -> int:
    """Where the words of a unit begin: "and a working coil stove" at the "a"."""
    for i in range(start - 1, max(start - 4, 0), -1):
        if tokens[i]["stop"] > 0 or tokens[i]["used"] not in ("", "size", "made"):
            return start
        if tokens[i]["w"] in ("a", "an"):
            return i
    return start


LONE = {
    **dict.fromkeys("cold cools runs good fine ok okay great heats drains".split(" "), "works"),
    **dict.fromkeys("spins dries freezes".split(" "), "works"),
    **dict.fromkeys("bad not junk shot".split(" "), "broken"),
}  # fmt: skip


def told_apart(tokens: Tokens, forms: list[str], units: list[Any]) -> list[Any]:
    """The one counted unit as its members, where the line tells them apart and they add up."""
    if len(units) != 1 or units[0]["count"] < 2:
        return units
    unit = units[0]
    _one_first(tokens, forms, unit)
    rest = _rest_of(tokens, forms, unit)
    if len(rest) > 0:
        return rest
    sure = _members(tokens, unit, False)
    for found in (sure, _members(tokens, unit, True)):
        left = unit["count"] - sum([one[1] for one in found])
        rest = [one for one in found if one[1] == 0]
        if len(rest) == 1 and left > 0:
            rest[0][1] = left
            left = 0
        if len(found) > 1 and left == 0 and len([one for one in found if one[1] == 0]) == 0:
            return _split(tokens, forms, unit, found)
    unit["torn"] = len(_members(tokens, unit, True)) > 0  # told apart, and not understood how
    return units


def _rest_of(tokens: Tokens, forms: list[str], unit: Any) -> list[Any]:
    """ "2 of my 3 washers work": the others are broken then, and else nothing is said of them."""
    for i in range(max(unit["start"] - 4, 0), unit["start"] - 2):
        n = tokens[i]["n"]
        if n is None or tokens[i]["used"] != "" or tokens[i + 1]["w"] != "of" or n >= unit["count"]:
            continue
        last = {**tokens[i], "w": "rest", "n": None, "used": "units", "stop": 2}
        tokens[i]["used"] = "units"
        told = [k for k in range(unit["end"], len(tokens)) if tokens[k]["w"] in ("other", "others")]
        at = told[0] if len(told) > 0 else len(tokens)
        for one in [t for t in tokens[at : at + 2] if t["w"] in ("other", "others", "one")]:
            one["used"] = "units"  # "the other one leaks"
        if len(told) == 0:
            tokens.append(last)
            forms.append("")
        if "work" in forms and len(told) == 0:
            tokens.append({**last, "w": "broken", "used": "", "stop": 0})
            forms.append("broken")
        others = {**unit, "start": at, "end": at + 1, "count": unit["count"] - int(n), "unit": 1}
        return [{**unit, "count": int(n), "cut": at}, {**others, "cut": at}]
    return []


def _one_first(tokens: Tokens, forms: list[str], unit: Any) -> None:
    """ "The coil one has a burner out, the gas one works" said as "one coil …, one gas …"."""
    ones = [i for i in range(unit["end"], len(tokens)) if tokens[i]["n"] == 1.0]
    if len(ones) > 0 and tokens[ones[0] - 1]["w"] not in SAID["told by"]:
        return  # "one gas, one electric, the gas one squeals": named again
    told = 0
    for i in range(unit["end"] + 1, len(tokens)):
        lead, one = tokens[i - 1], tokens[i]
        begins = lead["stop"] > 0 or tokens[i - 2]["w"] in ("the", "and", "a")
        kind = one["w"] == "one" and one["stop"] == 0 and lead["w"] in SAID["told by"]
        if kind and begins and told < unit["count"]:
            tokens[i - 1], tokens[i] = {**one, "stop": max(lead["stop"], 1)}, {**lead, "stop": 0}
            forms[i - 1], forms[i] = forms[i], forms[i - 1]
            told += 1


def _members(tokens: Tokens, unit: Any, loose: bool) -> list[list[int]]:
    """[place, how many (0: those left)] of each member; loose: "one" without a stop too."""
    out: list[list[int]] = []
    i = unit["end"]
    while i < len(tokens):
        one = tokens[i]
        before = tokens[i - 1]["w"]
        begins = i == unit["end"] or _begins(one, tokens[i - 1])
        again = before in SAID["told by"] and len(out) > 1  # "the gas one squeals"
        size = 1
        if one["w"] in SAID["ordinals"] and (begins or loose):
            out.append([i, 1])
            size = 2  # "first one"
        elif _label(tokens, i, len(out)):
            out.append([i, 1])
        elif one["w"] == "other" and before == "the":
            after = tokens[i + 1] if i + 1 < len(tokens) else one
            named = after["n"] is not None and after["stop"] == 0
            out.append([i, int(after["n"]) if named else 1])
            size = 2 if named else 1
        elif one["w"] in SAID["others"] and begins:
            out.append([i, 0])
        elif begins or (loose and before not in SAID["no member"] and _lone_or_does(tokens, i)):
            if not again and _counts(tokens, i, unit["count"]):
                out.append([i, int(one["n"])])
        i += size
    return out


def _label(tokens: Tokens, i: int, k: int) -> bool:
    """ "A: drain pump. B: float switch", "no. 1 belt, no. 2 rollers": the name of member k."""
    one, before = tokens[i], tokens[i - 1]
    after = tokens[i + 1] if i + 1 < len(tokens) else one
    if one["n"] is None:
        return one["w"] == "abcdefgh"[k : k + 1] and one["stop"] > 0 and after["stop"] > 0
    sign = before["w"] in SAID["label"] and one["used"] == ""
    numbered = one["used"] == "no" and before["w"] not in SAID["no member"]
    numbered = numbered and not one.get("spelled", False)  # "two burners out"
    if one["n"] != k + 1 or not (sign or numbered) or one["money"] != "":
        return False
    if sign:
        before["used"] = "units"
    return True


def _begins(one: Token, before: Token) -> bool:
    return one["stop"] > 0 or before["w"] in SAID["before"] or before["n"] is not None


def _lone_or_does(tokens: Tokens, i: int) -> bool:
    """ "One", or a count and what its members do ("3 work 3 dont")."""
    after = tokens[i + 1] if i + 1 < len(tokens) else None
    does = after is not None and after["stop"] == 0 and after["w"] in SAID["does too"]
    return does or tokens[i]["w"] == "one"


def _counts(tokens: Tokens, i: int, most: int) -> bool:
    """Whether it is a whole number below the count that nothing else has taken."""
    one = tokens[i]
    n = one["n"]
    if n is None or one["used"] != "" or one["money"] != "" or _ends_there(tokens, i):
        return False
    return bool(n == int(n) and 0 < n < most)


def _ends_there(tokens: Tokens, i: int) -> bool:
    """Whether nothing is said of it: "a good one and a rough one"."""
    if tokens[i]["w"] != "one" or i + 1 >= len(tokens):
        return tokens[i]["w"] == "one"
    return tokens[i + 1]["stop"] > 0 or tokens[i + 1]["w"] in SAID["of no unit"]


def _split(tokens: Tokens, forms: list[str], unit: Any, members: list[list[int]]) -> list[Any]:
    out: list[Any] = []
    for k in range(len(members)):
        at, count = members[k]
        tokens[at]["used"] = "units"
        forms[at] = ""
        if tokens[at - 1]["used"] == "units":
            forms[at - 1] = ""
        if at + 1 < len(tokens) and tokens[at + 1]["n"] is not None:
            if tokens[at]["w"] in ("other", *SAID["ordinals"]):
                tokens[at + 1]["used"] = "units"
                forms[at + 1] = ""
        end = members[k + 1][0] if k + 1 < len(members) else len(tokens)
        _lone_word(tokens, forms, at + 1, end)
        its = tokens[at]["w"] == "one" and tokens[at - 1]["w"] in SAID["told by"]
        its = its and [t["w"] for t in tokens[at + 1 : at + 2]] not in (["gas"], ["electric"])
        kind = at - 1 if its else at  # "the coil one"
        start = unit["start"] if k == 0 else kind
        stop = unit["end"] if k == 0 else at + 1
        out.append({**unit, "start": start, "end": stop, "count": count, "unit": k, "cut": at})
        for one in [t for t in [*tokens[kind:at], *tokens[at + 1 : at + 2]] if t["stop"] == 0]:
            if one["w"] in ("gas", "electric"):
                out[k]["fuel"] = one["w"]
    return out


def _lone_word(tokens: Tokens, forms: list[str], start: int, end: int) -> None:
    """ "One good, one bad": works, and does not."""
    words = [i for i in range(start, end) if forms[i] != "" and tokens[i]["w"] != "one"]
    if len(words) == 0 or tokens[words[0]]["w"] not in LONE:
        return
    if len(words) == 1 or tokens[words[1]]["stop"] > 0 or tokens[words[1]]["w"] in SAID["before"]:
        cold = len([one for one in tokens[0:start] if one.get("was", "") in ("cold", "cools")])
        tokens[words[0]]["was"] = tokens[words[0]]["w"]
        tokens[words[0]]["w"] = LONE[tokens[words[0]]["w"]]
        forms[words[0]] = "work" if tokens[words[0]]["w"] == "works" else "broken"
        if cold > 0 and forms[words[0]] == "broken":  # "3 cold, 1 not"
            tokens[words[0]]["w"] = "not cold"
            forms[words[0]] = "not cold"
