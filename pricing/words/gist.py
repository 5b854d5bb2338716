"""What was found, put together: the fields of one or several units, what is left, what to ask."""

from typing import Any

from pricing.words.amounts import clause_words, has_phrase, words_after
from pricing.words.breath import Field, unit_at
from pricing.words.prices import for_a_unit
from pricing.words.tokens import SAID, Table, Tables, Token, Tokens


def gathered(
    tokens: Tokens, units: list[Any], heard: Tables, fields: list[Field], moment: str, tables: Table
) -> Table:
    """`read`, `kinds`, `units`, `each` from what was found."""
    whole: dict[str, Any] = {}
    alone = len(units) == 1 and units[0]["count"] > 1
    if alone:
        heard = counted(units[0], heard[0], fields)
    if len(heard) <= 1:
        one = heard[0]
        for field in fields:
            put(whole, field, tokens)
        unit_into(whole, one, tables)
        answer: dict[str, Any] = {"read": whole}
        if one["plain"]:
            answer["kinds"] = list(tables["kinds"][one["type"]])
        return answer
    groups: list[dict[str, Any]] = [{} for _ in heard]
    several(tokens, units, fields, whole, groups)
    each: list[dict[str, Any]] = []
    for k in range(len(heard)):
        unit_into(groups[k], heard[k], tables)
        if heard[k]["plain"]:
            groups[k]["kinds"] = list(tables["kinds"][heard[k]["type"]])
        for _ in range(1 if alone else units[k]["count"]):
            each.append(dict(groups[k]))
    return {"read": whole, "units": len(each), "each": each}


def unit_into(target: Table, one: Table, tables: Table) -> None:
    """Type, faults, found and repairs of a unit into its reading."""
    if one["type"] != "" and not one["plain"]:
        target["type"] = one["type"]
    burns = [name for name in one["families"] if name in ("dryer", "range")]
    burns += ["heater"] if one["type"] in ("", "water heater") else []
    if len(burns) == 0 and "fuel" in target:
        del target["fuel"]  # "a washer and a dryer, both electric", "propane fridge"
    if len(one["faults"]) == 1:
        target["fault"] = one["faults"][0]
    elif len(one["faults"]) > 1:
        target["faults"] = list(one["faults"])
    if one["found"] != "":
        target["found"] = one["found"]
    if len(one["repair"]) > 0:
        target["repair"] = list(one["repair"])


def _once(target: Table, name: str, value: Any, tokens: Tokens, at: int) -> None:
    """The first value of a field counts; the number of another is free again, and so is told."""
    if name not in target:
        target[name] = value
    elif name == "finish" and value.startswith(target[name]):
        target[name] = value  # "black, no sorry, black stainless"
    elif name == "parts" and target[name] != value and _both_parts(tokens, at):
        for one in tokens:  # "element $28, fuse $9": both are asked about, none is counted
            one["used"] = "" if one["used"] == "parts" and one["n"] is not None else one["used"]
        del target[name]
    elif target[name] != value and (tokens[at]["n"] is not None or name == "code"):
        tokens[at]["used"] = ""


def _both_parts(tokens: Tokens, at: int) -> bool:
    """Whether a second price is of another part: its name stands beside it, and no "or"."""
    near = [*clause_words(tokens, at, 4), *words_after(tokens, at, 3)]
    named = [word for word in near if word in SAID["sells"]]
    return len(named) > 0 and len([word for word in near if word in SAID["either price"]]) == 0


def put(target: Table, field: Field, tokens: Tokens) -> None:
    """One found field into the answer; the first of a name counts, features gather."""
    name, value = field[0], field[1]
    if name == "features":
        if tokens[field[2]]["used"] not in ("", "feature", "no", "size", "volts", "finding"):
            return
        have = target.get("features", [])
        target["features"] = have if value in have else [*have, value]
    elif name == "volts":
        if value in (110, 115, 120):
            put(target, ["features", "120 V", field[2]], tokens)
        elif value in (208, 220, 230, 240):
            have = target.get("features", [])
            shown = "208 V" if value == 208 else "240 V"
            target["features"] = [*have, shown]
    elif name == "free":
        if "their_price" not in target:
            target["their_price"] = 0.0
    elif name == "round_miles":
        _once(target, "round_trip_miles", value, tokens, field[2])
    elif name == "made":
        _once(target, "made", [int(year) for year in value], tokens, field[2])
    elif name in ("fuel", "fuel said"):
        if name == "fuel":
            target.setdefault("fuel", "gas" if value == "propane" else value)
        if value == "propane" and "propane" not in target.get("features", []):
            target["features"] = [*target.get("features", []), "propane"]
    elif name in SAID["read names"]:
        _once(target, name, value, tokens, field[2])


OF_THE_CALL, OF_EVERY = -1, -2


def several(
    tokens: Tokens, units: list[Any], fields: list[Field], whole: Table, each: Tables
) -> None:
    """Which field is of which unit: by the words it stands among; a price for all, the way and the
    stairs are shared, and what follows a price for all is of all."""
    counted_units = len(each) > len(units)
    seen: dict[str, int] = {}
    for field in fields:
        name = field[0]
        same = [f for f in fields if f[0] == name]
        if counted_units and len(same) == len(each) and name not in ("for one", "features"):
            seen[name] = seen.get(name, -1) + 1
            put(each[seen[name]], field, tokens)
            continue
        k = _whose(tokens, units, field, fields, counted_units)
        if k == OF_THE_CALL:
            put(whole, field, tokens)
        for place in range(len(each)):
            if k == OF_EVERY or k == place:
                put(each[place], field, tokens)


def _whose(
    tokens: Tokens, units: list[Any], field: Field, fields: list[Field], counted_units: bool
) -> int:
    """The place of the unit that a field is of; OF_THE_CALL or OF_EVERY where it is of all."""
    name, at = field[0], field[2]
    k = unit_at(at, units)
    for_all = [f[2] for f in fields if f[0] == "for all"]
    if name in SAID["prices"]:
        prices = [f for f in fields if f[0] in SAID["prices"] and f[2] not in for_all]
        if len([f for f in fields if f[0] == "for each" and f[2] == at]) > 0:
            return OF_EVERY if len(prices) == 1 else k
        after = [one for one in units if for_a_unit(tokens, at) and _named_at(one, at)]
        if len(after) > 0:
            return int(after[0]["unit"])  # "60 for the dryer, 40 for the washer"
        alone = len([f for f in fields if f[0] in SAID["prices"]]) == 1
        if at < units[0]["start"] and alone:
            return OF_THE_CALL
        last = k == len(units) - 1 or counted_units or at < units[0].get("cut", 0)
        return OF_THE_CALL if at in for_all or (alone and last) else k
    same = [f[2] for f in fields if f[0] == name]
    if "cut" in units[0] and name == "size" and len(same) == len(units):
        return same.index(at)  # "the 8000 btu one is loud, the 5000 btu one works"
    if name in SAID["shared"] or (name in ("parts", "hours") and at in for_all):
        return OF_THE_CALL
    if name == "fuel" and "cut" in units[0] and at > units[0]["cut"]:
        return k  # "six dryers, four electric, two gas"
    if name in SAID["unit fields"] and (counted_units or _of_every(tokens, units, field, for_all)):
        return OF_THE_CALL if name == "age" and not counted_units else OF_EVERY
    if name in ("maker", "finish", "condition", "size", "fuel") and k + 1 < len(units):
        after = units[k + 1]["start"]
        return k + 1 if after - at <= 2 and tokens[after]["stop"] == 0 else k
    return k


def _named_at(one: Table, at: int) -> bool:
    """Whether a unit is named soon after a place, also where it was named before."""
    starts = [one["start"], *one.get("named", [])]
    return len([start for start in starts if at < start <= at + 4]) > 0


def _of_every(tokens: Tokens, units: list[Any], field: Field, for_all: list[int]) -> bool:
    """Whether it is said of all units: "both norvane", or before or after all of them."""
    name, at = field[0], field[2]
    last = unit_at(at, units) == len(units) - 1
    if has_phrase(words_after(tokens, at, 2) + clause_words(tokens, at, 2), ["both", "all"]):
        return True
    if len(for_all) > 0 and at > max(for_all):
        return True
    alone = tokens[at]["stop"] > 0 and len(words_after(tokens, at, 1)) == 0
    if name == "maker" and last and alone:
        return True
    if "cut" in units[0] and ((last and tokens[at]["stop"] > 0) or at < units[0]["cut"]):
        return True  # members of one count: what is said before or after all of them
    return bool(at < units[0]["start"] - 6)


def counted(unit: Any, one: Table, fields: list[Field]) -> Tables:
    """ "Two dryers, no heat": a copy each; faults in turn where there are as many."""
    count = unit["count"]
    out: list[dict[str, Any]] = []
    conditions = [f for f in fields if f[0] == "condition"]
    for k in range(count):
        copy = dict(one)
        if len(one["faults"]) == count:
            copy["faults"] = [one["faults"][k]]
        if len(conditions) == count:
            copy["condition"] = conditions[k][1]
        out.append(copy)
    return out


# ---- what is left
def left_over(
    tokens: Tokens, forms: list[str], parts: Tables, units: Tables, moment: str, tables: Table
) -> list[str]:
    """Stretches of words not used and not idle; where no fault was read, those that tell of one."""
    out: list[str] = []
    for part in parts:
        unit = units[part["unit"]]
        blank = moment != "ask" and len(unit["faults"]) == 0 and unit["found"] == ""
        rest = [_rest(one, tables) for one in tokens[part["start"] : part["end"]]]
        for k in range(len(rest)):
            if rest[k] == "word" and not blank and _at_doing(tokens, part["start"] + k):
                rest[k] = "idle"  # "clunks at spin", "takes forever to dry"
        for k in range(len(rest)):  # "takes 90 minutes a load", and no fault was read
            swallowed = blank and tokens[part["start"] + k]["used"] == "no"
            rest[k] = "telling" if swallowed else rest[k]
        least = 0 if "used" not in rest and len(rest) > 1 else 1  # a part of which nothing was read
        tells = len([sort for sort in rest if sort == "telling"]) > least
        if blank and unit["type"] != "" and tells:
            rest = [sort.replace("telling", "word") for sort in rest]
        words: list[str] = []
        counts = False
        for k in range(len(rest) + 1):
            i = part["start"] + k
            if k == len(rest) or rest[k] == "used":
                if counts:
                    out.append(" ".join(words))
                words = []
                counts = False
                continue
            deny = forms[i] in ("not", "no") and tokens[i]["n"] is None
            if rest[k] == "word" or deny or len(words) > 0:
                # a denial alone has been counted with what it denies
                counts = counts or (rest[k] == "word" and not deny) or len(words) > 0
                words.append(tokens[i]["t"])
    return out


def _at_doing(tokens: Tokens, i: int) -> bool:
    """Whether a word only says at what the fault shows."""
    lead = tokens[i - 1]["w"] if i > 0 and tokens[i]["stop"] == 0 else ""
    return lead in SAID["at doing"] and tokens[i]["w"] in SAID["doing words"]


def _rest(one: Token, tables: Table) -> str:
    """What a word is to what was read: "used", "idle" (says nothing), "telling" (says nothing where
    a fault was read) or "word"."""
    soft = one.get("soft", False) or one["w"] == "one"
    if one["used"] not in ("", "open") or one.get("part", "") != "" or one.get("kind", False):
        return "used"
    if one["n"] is not None:
        return "idle" if one["w"] == "one" else "word"
    if soft and one["w"] != "one":
        return "used"
    if one.get("unsaid", False):
        return "word"
    known = one["w"] in tables["idle_words"] or one["w"] in tables["filler"]
    if not (soft or known or len(one["w"]) < 2):
        return "word"
    return "telling" if one["w"] in tables["telling"] else "idle"


def asks(
    tokens: Tokens, answer: Table, fields: list[Field], moment: str, units: list[Any]
) -> list[str]:
    """The fields to ask about before a number may count."""
    names = [field[0] for field in fields]
    out: list[str] = []
    if len(units) == 0:
        out.append("type")
    read_now = answer["read"]
    bare = [one for one in tokens if one["n"] is not None and one["used"] in ("", "open")
            and one["w"] != "one" and not one.get("unclear", False)]  # fmt: skip
    priced = "their_price" in read_now or "free" in names
    if moment == "offer":
        priced = priced or len([f for f in fields if f[0] in SAID["prices"]]) > 0
        if len(bare) > 0 and not priced:
            out.append("their_price")
        elif len(bare) > 0:
            out += [name for name in ("age", "miles") if name not in names]
        lone = len([f for f in fields if f[0] == "for one" and f[1] == "their_price"]) > 0
        if lone and len(units) == 1 and units[0]["count"] > 1:
            out.append("their_price")  # 20 for each, or for all?
        if "noprice" in names and not priced:
            out = out if "their_price" in out else [*out, "their_price"]
            if "or_best_offer" in read_now:
                del read_now["or_best_offer"]
    elif moment == "ask" and len(bare) > 0:
        out.append("asked_now")
    elif moment == "bench" and len(bare) > 0:
        out.append("parts")
    line = [one["w"] for one in tokens]
    if moment == "bench" and "found" in read_now and has_phrase(line, SAID["undecided"]):
        out.append("found")
    if moment == "offer" and len([one for one in tokens if one.get("either", False)]) > 0:
        out.append("type")
    if "owned" in names and "age" not in names and "made" not in names:
        out.append("age")
    return out
