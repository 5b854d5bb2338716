"""Which appliances a line speaks of: where each is named, and which words belong to which."""

from typing import Any

from pricing.words.amounts import begins_with, clause_words, has_phrase, words_after
from pricing.words.sayings import known, saying_at
from pricing.words.tokens import SAID, Table, Tokens

Mention = dict[str, Any]
# Part of a bigger unit that is named by a word of its own: the words, and the families of faults
# that they stand for there.
PARTS = {
    "washer": "washer", "dryer": "dryer", "fridge": "fridge", "freezer": "fridge",
    "oven": "range", "cooktop": "range", "microwave": "microwave", "range": "range",
    "ice maker machine": "fridge", "electric dryer": "dryer", "gas dryer": "dryer",
}  # fmt: skip


def mentions_of(tokens: Tokens, forms: list[str], tables: Table, own: Table) -> list[Mention]:
    """Each place where an appliance is named, longest first: {start, end, type, kinds, goods}."""
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
    away = [
        m for m in found if begins_with(words_after(tokens, m["end"] - 1, 3), SAID["not for sale"])
    ]
    away += [m for m in found if _of_another(tokens, m)]
    away += [m for m in found if m["goods"] and _only_there(tokens, m)]
    found = [m for m in found if m not in away]
    meant = [m for m in found if not _denied_or_kept(tokens, m)]
    if len(meant) > 0:  # "not the dryer, it's the washer": there must be one that is meant
        for one in [m for m in found if m not in meant]:
            for i in range(max(one["start"] - 2, 0), one["end"]):
                tokens[i]["used"] = "idle" if tokens[i]["n"] is None else tokens[i]["used"]
        found = meant
    if len([m for m in found if not m["goods"]]) == 0:
        found += _ice_maker(tokens)
    if len(known) > 0:  # a mower beside a dryer is what they want in trade, or how it was moved
        found = [m for m in found if not m["goods"] or m["type"] in tables["refused_goods"]]
    return found


def _only_there(tokens: Tokens, one: Mention) -> bool:
    """ "Cut on the cabinet edge", "swap for a bike": where it is or what they want for it."""
    near = [word for word in clause_words(tokens, one["start"], 3) if word in SAID["there"]]
    return len(near) > 0 and not _priced(tokens, one["start"])


def _of_another(tokens: Tokens, one: Mention) -> bool:
    """ "My sister has the front loader": somebody else's."""
    before = clause_words(tokens, one["start"], 5)
    kin = [word for word in before if word in SAID["kin"]]
    if has_phrase(clause_words(tokens, one["start"], 7), SAID["instead of it"]):
        return one["start"] > 6  # "selling cause we got a stackable"
    own = has_phrase(before[-2:], ["has", "has the", "has a", "have the", "have", "kept the"])
    return len(kin) > 0 and own and one["start"] > 6


def _denied_or_kept(tokens: Tokens, one: Mention) -> bool:
    """ "Not the dryer", "keeping my dryer": named, and not what is on offer."""
    before = " ".join(clause_words(tokens, one["start"], 2))
    return before in SAID["not meant"]


def _ice_maker(tokens: Tokens) -> list[Mention]:
    """ "Ice maker" is a machine of its own where nothing else is named, "FL" alone a washer."""
    for i in range(len(tokens)):
        word = tokens[i]["w"]
        two = word == "ice" and i + 1 < len(tokens) and tokens[i + 1]["w"] in ("maker", "makers")
        side = {"FL": "front-load washer", "TL": "top-load washer"}.get(tokens[i]["t"], "")
        if side != "" and (i == 0 or tokens[i]["stop"] > 0) and len(words_after(tokens, i, 1)) == 0:
            return [{"start": i, "end": i + 1, "type": side, "goods": False}]
        if two or word == "icemaker":
            end = i + 2 if two else i + 1
            return [{"start": i, "end": end, "type": "ice maker machine", "goods": False}]
    return []


def _beside(tokens: Tokens, one: Mention) -> bool:
    """ "Sitting side by side in the garage" is no kind of fridge."""
    before = tokens[one["start"] - 1]["w"] if one["start"] > 0 else ""
    if before == "price" or (before == "new" and tokens[one["start"]]["w"] == "glass"):
        return True
    return one["type"] == "side-by-side fridge" and before in SAID["stands"]


def _mention_at(
    tokens: Tokens, forms: list[str], i: int, tables: Table, own: Table
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
                many = [t["w"] for t in tokens[i : hit[0]] if t["w"] in ("washers", "dryers")]
                if name[2].endswith("pair") and len(many) == 1:
                    continue  # "two washers and a dryer"
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
    tokens: Tokens, i: int, by_words: dict[str, str], tables: Table
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


def listed_at(tokens: Tokens, i: int, listed: Any, most: int) -> int:
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


def is_plain(name: str, tables: Table) -> bool:
    return name in tables["kinds"]


def part_family(unit: str, said: str, tables: Table) -> str:
    """The family of faults that `said` names as a part of `unit` (the oven of a range), or ""."""
    if unit == said or (unit[0:6] == "commer" and said[-6:] in ("washer", " dryer")):
        return "same"
    both = tables["families"].get(unit, [])
    if len(both) > 1 and PARTS.get(said, "") in both:
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
        return "same" if said == family else ""
    if kind in ("compact fridge", "chest freezer", "upright freezer", "ice maker machine"):
        return "" if said == "ice maker machine" else "same"
    no_oven = said in ("oven", "range") and kind in ("electric cooktop", "gas cooktop")
    no_top = said == "cooktop" and kind in ("wall oven", "double wall oven")
    return "" if no_oven or no_top or kind == "range hood" else family


def units_of(tokens: Tokens, mentions: list[Mention], tables: Table) -> list[Mention]:
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
        labelled = _labelled(tokens, one, units)
        if len(units) == 0 or labelled or not _in_a_unit(tokens, units, one, word, two, tables):
            one["unit"] = len(units)
            units.append(one)
    if 1 < len(units) == units[0]["count"]:
        _one_of_each(tokens, units[0], mentions)
    if len(units) > 2 and _told_by_kind(units, tables):
        units = _without_first(tokens, units, mentions)
    _less(tokens, units, tables)
    if len(units) == 1 and units[0]["count"] == 1:
        units[0]["count"] = _count_apart(tokens)
        units[0]["behind"] = units[0]["count"] > 1
    return units


def _less(tokens: Tokens, units: list[Mention], tables: Table) -> None:
    """ "5 stoves, 3 coil, 2 smooth top": the rest are of the first."""
    if len(units) != 2 or units[1]["type"] not in tables["kinds"].get(units[0]["type"], []):
        return
    first, last = units
    rest = first["count"] - last["count"]
    told = [i for i in range(first["end"], len(tokens)) if tokens[i]["n"] == rest]
    told = [i for i in told if tokens[i]["used"] == "" and tokens[i]["money"] == ""]
    if rest > 0 and len(told) > 0:
        first["count"] = rest
        tokens[told[0]]["used"] = "units"


def _without_first(tokens: Tokens, units: list[Mention], mentions: list[Mention]) -> list[Mention]:
    for one in mentions:
        one["unit"] -= 1 if one["unit"] > 0 else 0
    first = units[0]
    first["part"] = "same"
    _count_used(tokens, first)
    return units[1:]


def _one_of_each(tokens: Tokens, first: Mention, mentions: list[Mention]) -> None:
    """ "Two fridges: side by side no ice, top freezer warm": the count is of both together."""
    if "narrow" in [one["part"] for one in mentions if one["unit"] == 0]:
        _count_used(tokens, first)
        first["count"] = 1


def _count_used(tokens: Tokens, unit: Mention) -> None:
    for said in tokens[max(unit["start"] - 3, 0) : unit["start"]]:
        said["used"] = "units" if said["n"] == unit["count"] else said["used"]


def _labelled(tokens: Tokens, one: Mention, units: list[Mention]) -> bool:
    """ "Unit 102 fridge", "washer 2" after "washer 1": one of its own, whatever its kind."""
    at, end = one["start"], one["end"]
    words = ["", "", *[said["w"] for said in tokens[max(at - 3, 0) : at]]]
    place = words[len(words) - 3] in ("in", "at", "of", "from")
    if at > 1 and tokens[at - 1]["n"] is not None and words[len(words) - 2] in SAID["label"]:
        tokens[at - 1]["unclear"] = True  # told, and nothing to ask about
        return not place
    ends = [*[unit["end"] for unit in units[-1:]], end]
    told = [tokens[i]["n"] for i in ends if i < len(tokens) and tokens[i]["stop"] == 0]
    told = [n for n in told if n is not None]
    return len(told) == 2 and told[1] == told[0] + 1 and told[1] < 10


def _told_by_kind(units: list[Mention], tables: Table) -> bool:
    """ "Two fridges, one top freezer dead, the other side by side": what follows is the count."""
    kinds = tables["kinds"].get(units[0]["type"], [])
    rest = [one["count"] for one in units[1:] if one["type"] in kinds]
    return len(rest) == len(units) - 1 and sum(rest) == units[0]["count"]


def _in_a_unit(
    tokens: Tokens, units: list[Mention], one: Mention, word: str, two: str, tables: Table
) -> bool:
    """Whether a mention belongs to a unit named before. word, two: the words before it."""
    one["unit"] = len(units) - 1
    if word not in SAID["another"] and _whole_of(units[len(units) - 1], one, word, two, tables):
        return True
    one["part"] = _aside(tokens, one, word, two, units[len(units) - 1]["type"])
    if _coin_twin(tokens, units[len(units) - 1], one):
        return False  # "the coin washer won't lock, the coin dryer is fine"
    if one["part"] != "" or _part_of_last(units, one, word, two, tables):
        return True
    one["unit"] = 0
    if len(units) == 1 and _of_same_family(tokens, units[0], one, word, tables):
        one["part"] = "same"
        return True
    one["part"] = "narrow"
    if len(units) == 1 and is_plain(units[0]["type"], tables):
        its = word in SAID["its"] or two in SAID["it is"]
        if its and part_family(one["type"], units[0]["type"], tables) not in ("", "same"):
            units[0]["type"] = one["type"]  # "the freezer of my side by side"
            return True
    fewer = 1 < one["count"] < units[0]["count"]
    other = fewer or word in ("one", "other") or two == "one"
    back = -1 if other else _narrower(units, one, tables)
    if back >= 0:
        _narrow(units[back], one, tables)
        one["unit"] = back
        return True
    one["part"] = ""
    return False


def _coin_twin(tokens: Tokens, last: Mention, one: Mention) -> bool:
    """Whether one of two names of coin machines is a washer and the other a dryer."""
    named = [" ".join([t["w"] for t in tokens[m["start"] : m["end"]]]) for m in (last, one)]
    dries = [said for said in named if said.find("dryer") >= 0]
    washes = [said for said in named if said.find("washer") >= 0 or said.find(" load") >= 0]
    twins = last["type"] == one["type"] and one["type"].startswith("commer")
    return twins and len(dries) == 1 and len(washes) == 1


def _aside(tokens: Tokens, one: Mention, word: str, two: str, last: str) -> str:
    """ "feature" of a pedestal, "tool" of what is named only beside ("over the stove"); or ""."""
    if one["type"] == "laundry pedestal" and word not in ("a", "an", "plus"):
        return "feature"
    if last.endswith("pair") and one["type"].endswith("dryer"):
        return ""  # "top load set with gas dryer"
    before = clause_words(tokens, one["start"], 4)
    if has_phrase(before, ["top of", "next to", "in front of", "side of"]):
        return "tool"
    return "tool" if _tool(word, two) and not _priced(tokens, one["start"]) else ""


def _whole_of(last: Mention, one: Mention, word: str, two: str, tables: Table) -> bool:
    """Whether what was named first is a part of what is named now, which takes its place."""
    whole = one["type"]
    fridges = tables["kinds"]["fridge"]
    if last["type"] == "ice maker machine":
        if word not in ("in", "of", "on") and two not in ("in", "of", "on"):
            return False  # "ice machine in the fridge quit"
        if whole != "fridge" and whole not in fridges:
            return False
        last["part"] = "fridge"
    elif last["type"] == "freezer":
        if whole != "fridge" and whole not in fridges:
            return False
    elif last["type"] not in ("cooktop", "oven") or not (
        whole in ("oven", "range", "electric range") or whole in tables["kinds"]["range"]
    ):
        return False
    one["part"] = "range" if whole == "oven" else "same"
    last["part"] = "range" if last["type"] == "oven" else last["part"]
    last["type"] = "range" if whole == "oven" else whole
    return True


def _part_of_last(units: list[Mention], one: Mention, word: str, two: str, tables: Table) -> bool:
    """Whether it is a part of the last unit that can have one, and nothing says it is another."""
    mine = [k for k in range(len(units)) if units[k]["type"] == one["type"]]
    ends = [k for k in range(len(units)) if units[k]["type"].endswith(" " + one["type"])]
    mine = ends if len(mine) == 0 and ends == [0] else mine  # "the freezer" is the chest freezer
    whole = units[0 if word == "one" else len(units) - 1]["type"]
    if len(units) > 1 and one["type"] in tables["kinds"].get(whole, []):
        return False  # "washer 2 top load": the last one is narrowed
    again = word in SAID["another"] or "one" in (word, two)
    if len(mine) == 1 and len(units) > 1 and one["count"] == 1 and not again:
        one["part"] = "same"
        one["unit"] = mine[0]
        return True
    for k in range(len(units)):
        at = len(units) - 1 - k
        family = part_family(units[at]["type"], one["type"], tables)
        if family == "":
            continue
        again = word in ("a", "an", "another", "plus")
        once_more = family == "same" and word != "another" and one["count"] < 2
        named = once_more and one["type"] == units[at]["type"]
        if again and not named and one["type"] in SAID["second units"]:
            return False
        if family == "same" and one["count"] > 1 and units[at]["count"] > 1:
            return False  # "two coin washers dead and two coin dryers won't start"
        one["part"] = family
        one["unit"] = at
        if one["type"] in ("gas dryer", "electric dryer") and family == "dryer":
            units[at]["fuel"] = one["type"].split(" ")[0]
        return True
    return False


def _of_same_family(tokens: Tokens, unit: Mention, one: Mention, word: str, tables: Table) -> bool:
    """ "Side by side, warm up top freezer ok": a second kind of the family is a place in it."""
    tops = word == "" and tokens[one["end"] - 1]["w"] in ("top", "tops")  # "glass top"
    if tops and "range" in tables["families"].get(unit["type"], []):
        return bool(one["count"] == 1)
    if one["goods"] or unit["goods"] or word in ("", "and", "a", "an", "plus", "&", "with", "or"):
        return False
    if one["count"] > 1 or is_plain(unit["type"], tables) or is_plain(one["type"], tables):
        return False
    mine = tables["families"].get(unit["type"], [])
    between = [t["w"] for t in tokens[unit["end"] : one["start"]]]
    stopped = len([t for t in tokens[unit["end"] : one["start"]] if t["stop"] > 0]) > 0
    joined = [word for word in between if word in ("and", "+", "plus", "&", "matching")]
    return not stopped and len(joined) == 0 and mine == tables["families"].get(one["type"], [])


def _priced(tokens: Tokens, start: int) -> bool:
    """ "40 for the washer": what is named is for sale."""
    for i in (start - 1, start - 2):
        if i > 0 and tokens[i]["w"] == "for" and tokens[i - 1]["n"] is not None:
            return True
    return False


def _tool(word: str, two: str) -> bool:
    return word in SAID["as tool"] or two in SAID["as tool"]


def _narrower(units: list[Mention], one: Mention, tables: Table) -> int:
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


def _of_count(unit: Mention) -> bool:
    return bool(unit["count"] > 1) or "cut" in unit


def narrow_by_words(tokens: Tokens, units: list[Mention], tables: Table, counted: bool) -> None:
    """A unit named by an open name becomes the kind that words beside it tell ("stove, coil top");
    the words are used. Of two kinds told none is taken. counted: those of a count, or others."""
    for k in range(len(units)):
        listed = tables["narrower"].get(units[k]["type"], {})
        if len(listed) == 0 or counted != _of_count(units[k]):
            continue
        start = 0 if k == 0 else units[k]["start"]
        end = units[k + 1]["start"] if k + 1 < len(units) else len(tokens)
        hits: list[list[int]] = []
        kinds: list[str] = []
        i = start
        while i < end:
            size = listed_at(tokens, i, listed, 5)
            if size > 0 and i + size <= end and _tells_kind(tokens, i, size, units[k]):
                kind = listed[" ".join([one["w"] for one in tokens[i : i + size]])]
                if [units[k].get("fuel", ""), kind[0:4]] != ["electric", "gas "]:  # of another
                    hits.append([i, i + size])
                    kinds.append(kind)
                i += size
            else:
                i += 1
        if len(list(dict.fromkeys(kinds))) != 1:
            continue
        _name_all(units, k, kinds[0], hits[0][0])
        for hit in hits:
            for j in range(hit[0], hit[1]):
                tokens[j]["kind"] = True


def _name_all(units: list[Mention], k: int, kind: str, at: int) -> None:
    """Unit k is of this kind; all are where it is said before they are told apart ("6 ranges, all
    coil, 4 work, 2 don't")."""
    whole = k == 0 and units[0].get("cut", 0) > at
    for unit in units if whole else [units[k]]:
        unit["type"] = kind


def _tells_kind(tokens: Tokens, i: int, size: int, unit: Mention) -> bool:
    """Whether words tell the kind: more than one, or one beside the name or alone in its clause."""
    one = tokens[i]
    before = tokens[i - 1]["w"] if i > 0 and one["stop"] == 0 else ""
    if one["used"] not in ("", "size") or before in ("no", "not", "without"):
        return False
    if size == 1 and one["w"] in SAID["one tells"]:
        return True
    after = [one for one in tokens[i + size : i + size + 1] if one["stop"] == 0]
    beside = _beside_name(tokens, i, unit)
    if before in ("nd", "the", "st", "rd", "th") or _says_else(after, beside):
        return False
    return size > 1 or beside or _alone_there(tokens, i, before, after)


def _says_else(after: Tokens, beside: bool) -> bool:
    """Whether "top" goes on as another thing: "top rack", "top 2"."""
    if len(after) == 0:
        return False
    return after[0]["w"] in SAID["not narrower"] or (after[0]["n"] is not None and not beside)


def _beside_name(tokens: Tokens, i: int, unit: Mention) -> bool:
    behind = i == unit["end"] and tokens[i]["stop"] == 0
    return behind or (i + 1 == unit["start"] and bool(tokens[i + 1]["stop"] == 0))


def _alone_there(tokens: Tokens, i: int, before: str, after: Tokens) -> bool:
    if i > 0 and tokens[i - 1]["used"] == "units":
        return True  # "3 coil, 2 smooth top"
    starts = i == 0 or tokens[i]["stop"] > 0 or before in ("a", "an", "its", "it's", "all", "both")
    return starts and (len(after) == 0 or after[0]["w"] in ("one", "kind", "type", "model"))


WASHER_PAIRS = {
    "top-load washer": "top-load washer + dryer pair",
    "front-load washer": "front-load washer + dryer pair",
}


def _narrow(unit: Mention, one: Mention, tables: Table) -> None:
    name = unit["type"]
    if name in ("oven", "cooktop"):
        unit["part"] = "range"  # "no oven, gas range": the oven is a part of it
    unit["type"] = one["type"]
    if one["type"] in WASHER_PAIRS and name in ("washer + dryer pair", "washer-dryer"):
        unit["type"] = WASHER_PAIRS[one["type"]]


def _count_apart(tokens: Tokens) -> int:
    """How many are said apart from the name: "2 of them available", "dehumidifier x2"."""
    for i in range(len(tokens)):
        n = tokens[i]["n"]
        if n is None or tokens[i]["used"] != "" or tokens[i]["money"] != "" or not 2 <= n <= 12:
            continue
        after = words_after(tokens, i, 3)
        before = tokens[i - 1]["w"] if i > 0 and tokens[i]["stop"] == 0 else ""
        them = " ".join(after[0:2]) in ("of them", "of these", "of em", "of those")
        them = them and (len(after) == 2 or after[2] in SAID["of them"])
        told = " ".join(after) in ("available", "of each", "total") or before in SAID["times"]
        lot = after[0:1] == ["for"] and len(after) > 1 and tokens[i + 2]["n"] is not None
        told = told or lot  # "dishwasher, 2 for 80"
        if (them or told) and n == int(n):
            tokens[i]["used"] = "units"
            if before in SAID["times"]:
                tokens[i - 1]["used"] = "units"
            return int(n)
    return 1


def _most(tokens: Tokens, one: Mention) -> int:
    """How many can be meant: twenty where the name is plural, six in "2 dryer"."""
    for i in range(one["start"], one["end"]):
        word = tokens[i]["w"]
        if word.endswith("s") and not word.endswith("ss") and word not in ("gas", "glass"):
            return 20
    return 6


def _count_before(tokens: Tokens, start: int, most: int) -> int:
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
            if i > 0 and tokens[i - 1]["w"] in SAID["label"]:
                one["used"] = "no"  # "unit 4 stove": a door, no count
                return 1
            if whole and one["used"] == "" and one["money"] == "":
                return int(value)
            return 1
        if one["w"] == "pair" and tokens[i + 1]["w"] == "of" and most == 20:
            one["n"] = 2.0
            return 2
        if one["w"] not in SAID["count words"]:
            return 1
    return 1
