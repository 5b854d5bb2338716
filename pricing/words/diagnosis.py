"""Faults of each unit, part by part; what was found is `bench_note`'s matter."""

from typing import Any

from pricing.words.amounts import has_phrase
from pricing.words.bench_note import Line, Part, blamed_at, not_cured, take_findings
from pricing.words.halves import told_by_halves
from pricing.words.kinds import listed_at
from pricing.words.second_thoughts import taken_back
from pricing.words.tokens import SAID, Table, Tables, Tokens
from pricing.words.troubles import (
    UNTOLD,
    WORKS,
    findings_said,
    mark,
    read_part,
    ready_signs,
    sign_fits,
    sign_of,
    text_of,
    tidy_faults,
    whole_part,
    without_one,
)


def read_troubles(
    tokens: Tokens,
    forms: list[str],
    parts: Tables,
    units: Tables,
    moment: str,
    tables: Table,
    own: Table,
) -> None:
    """Fill faults, found and repair of each unit, part by part."""
    line = {"tokens": tokens, "forms": forms, "moment": moment, "tables": tables, "own": own}
    if moment != "offer":
        _without_taken_back(line, units[0])
    line["blamed"] = blamed_at(line, parts, units)
    named: list[list[Any]] = [[] for _ in units]
    told = {"named": named, "last": [[] for _ in units]}
    for part in parts:
        if units[part["unit"]]["type"] != "":
            _read_one(line, part, units, told)
    for k in range(len(units)):
        unit = units[k]
        names = _with_halves(line, parts, k, unit, named[k])
        unit["faults"] = tidy_faults(names, unit["count"] > 1, unit["sides"], tables["wider"])
        weak = unit["faults"][0] if len(unit["faults"]) == 1 and moment == "offer" else ""
        if weak in (WORKS, UNTOLD) and _told_else(line, parts, k, weak):
            unit["faults"] = []
        if unit["goods"] or (unit["type"] != "" and len(unit["families"]) == 0):
            if unit["type"] != "laundry pedestal":
                unit["faults"] = goods_fault(line, parts, k, unit["faults"])


def _without_taken_back(line: Line, unit: Any) -> None:
    """ "Drain pump, I mean the circulation pump": the first of them is not found."""
    tokens, forms = line["tokens"], line["forms"]
    hits = findings_said(forms, 0, len(tokens), unit, line["tables"])
    for k in range(len(hits) - 1):
        if taken_back(tokens, hits[k][1], hits[k + 1][0]):
            for i in range(hits[k][0], hits[k + 1][0]):
                forms[i] = ""
                tokens[i]["used"] = "idle" if tokens[i]["used"] == "" else tokens[i]["used"]


def _told_else(line: Line, parts: list[Part], k: int, weak: str) -> bool:
    """Whether words of a fault stand unread beside "broken" or behind "works, but": all is told."""
    mine = [line["tokens"][part["start"] : part["end"]] for part in parts if part["unit"] == k]
    bare = [words for words in mine if "fault" not in [one["used"] for one in words]]
    found = [words for words in bare if _unread(words, line, weak)]
    for words in mine if len(found) > 0 else []:
        for one in words:
            if one["used"] == "" or (weak == UNTOLD and one["used"] == "fault"):
                one["unsaid"] = words in found or one["used"] == "fault"
                one["used"] = ""
    return len(found) > 0


def _unread(words: Tokens, line: Line, weak: str) -> bool:
    """Whether a part of a line tells something of which nothing was read."""
    left = [one["w"] for one in words if one["used"] == "" and one["n"] is None]
    said = [word for word in left if word in line["tables"]["telling"]]
    if weak == WORKS:
        said += [word for word in left if word not in line["tables"]["idle_words"]]
    pair = [one["w"] for one in words[0:2]]
    just = pair == ["it", "just"] or pair[0] in (*SAID["split"], "just")
    just = just or "otherwise" in [one["w"] for one in line["tokens"]]
    return len(said) > 0 and (just or weak == UNTOLD)


def _with_halves(line: Line, parts: list[Part], k: int, unit: Any, named: list[Any]) -> list[Any]:
    """The names of one unit, after what its halves tell together."""
    tokens = line["tokens"]
    if line["moment"] == "ask":  # it is my own: how long it sits is how long it is for sale
        named = without(named, "worked when stored")
    name = told_by_halves(tokens, line["forms"], parts, k, unit)
    better = line["tables"]["wider"]["not cooling"] if name == "not cooling" else []
    both = [one for one in named if one[1] in better and one[1].startswith("both")]
    if name != "" and len(both) == 0 and ["fridge", "runs all the time"] not in named:
        kept = [one for one in named if one[1] not in SAID["of one half"] and one[1] != WORKS]
        return [[unit["families"][0], name], *kept]
    kept = [one[1] for one in named]
    if name == "not cooling" and "runs all the time" in kept:
        return [["fridge", "both warm and compressor runs"]]
    if "leaks water on the floor" in kept:
        inside = [one for one in tokens if one["w"] in SAID["inside words"]]
        if len(inside) > 0 and unit["families"][0] == "fridge":
            return [["fridge", "leaks water inside"], *without(named, "leaks water on the floor")]
    line_said = " ".join([one["w"] for one in tokens]) + " "
    for well in SAID["well"] if "oven won't heat (gas)" in kept else []:
        if (
            line_said.find("oven " + well + " ") >= 0
            or line_said.find("oven is " + well + " ") >= 0
        ):
            clicks = ["range", "burner clicks or won't light (gas)"]
            return [clicks, *without(named, "oven won't heat (gas)")]  # "two don't light, oven ok"
    baking = [one for one in tokens if one["w"] in ("oven", "bake", "broil", "broiler")]
    if ["range", "burner clicks or won't light (gas)"] in named and "oven won't heat (gas)" in kept:
        tops = [one for one in tokens if one["w"] in ("burner", "burners", "top", "stovetop")]
        if len(baking) == 0:
            return without(named, "oven won't heat (gas)")  # "clicks but won't light"
        if len(tops) == 0:
            return without(named, "burner clicks or won't light (gas)")
    return named


def without(named: list[Any], fault: str) -> list[Any]:
    """The names without one fault."""
    return [one for one in named if one[1] != fault]


def _read_one(line: Line, part: Part, units: list[Any], told: Table) -> None:
    """One part of the line: the faults into `named` of what is told, what was found into its unit;
    `last` keeps what the part before said of the same unit."""
    tokens, forms, tables = line["tokens"], line["forms"], line["tables"]
    at = part["unit"]
    unit, named, last = units[at], told["named"][at], told["last"]
    for k in range(len(units)):  # what was said of another unit is not gone on with here
        last[k] = last[k] if k == at else []
    looked = _looking(unit, part["part"])
    if own_troubles(line, part, unit, named):
        last[at] = []
        return
    not_cured(line, part, unit, [])
    if line["moment"] != "offer" and not _goes_on(line, part, last[at], unit):
        if take_findings(line, part, looked, unit, named):
            part["found"] = True
            last[at] = []
            return
    got = read_cut(tokens, forms, part, looked, tables)
    not_cured(line, part, unit, got["names"] if not got["weak"] else [])
    if line["moment"] == "bench":
        got["names"] = _at_bench(got["names"], named, unit)
    words = [one["w"] for one in tokens[part["start"] : part["end"]]]
    some = len(units) + unit["count"] > 2 and has_phrase(words, SAID["some of"])
    if some or unit["torn"]:
        for one in tokens[part["start"] : part["end"]]:
            one["unsaid"] = True  # "half of them work": of which is not said
        return
    if len(units) > 1 and len(got["names"]) == 0 and _only_well(line, part):
        got = whole_part(["any", WORKS], part["start"], part["end"], True)
    mark(tokens, got["words"])
    part["fault"] = len([n for n in got["names"] if n[1] not in HARMLESS]) > 0
    start = part["start"]
    joined = _joined_with_last(line, part, last[at], looked) if unit["found"] == "" else []
    if len(joined) > 0 and joined[0] not in got["names"]:
        start = last[at][0]
        for name in [one for one in last[at][1] if one in named]:
            named.remove(name)
        got["names"] = joined
        mark(tokens, [[start, part["end"]]])
    named += got["names"]
    last[at] = [start, got["names"], looked["families"]]
    if len(units) > 1:
        _of_the_others(line, part, units, told["named"])


def _only_well(line: Line, part: Part) -> bool:
    """ "Gas range fine": of one of several nothing else is said."""
    at = [i for i in range(part["start"], part["end"]) if line["forms"][i] not in ("", "is", "one")]
    rest = [one for one in [line["tokens"][i] for i in at] if one.get("part", "") == ""]
    return line["moment"] == "offer" and len(rest) == 1 and rest[0]["w"] in SAID["well"]


def _at_bench(names: list[Any], named: list[Any], unit: Any) -> list[Any]:
    """At the bench it is the person who took it apart; what follows a finding is no complaint."""
    names = [n for n in names if n[1] not in ("taken apart by the owner", WORKS, UNTOLD)]
    if len(named) == 0:
        return names
    if len(without(named, UNTOLD)) == 0:
        return names
    if unit["found"] != "" and len([n for n in named if n[0] != "danger"]) > 0:
        return [n for n in names if n[1] in SAID["told late"]]
    names = [n for n in names if n[0] != "danger"]
    return [n for n in names if n[1] not in SAID["at bench no fault"]]


def _of_the_others(line: Line, part: Part, units: Tables, named: list[list[Any]]) -> None:
    """ "All working", "both leak", "dead all": said of the last unit, it holds for the others."""
    words = [one["w"] for one in line["tokens"][part["start"] : part["end"]]]
    rest = "others" in words[0:2] or "rest" in words[0:2]  # of whom nothing was said yet
    if rest or "all" in (words[0], words[-1]) or len([w for w in words if w in SAID["each"]]) > 0:
        for j in range(len(units)):
            if j != part["unit"] and not (rest and len(named[j]) > 0):
                got = read_cut(line["tokens"], line["forms"], part, units[j], line["tables"])
                named[j] += got["names"]


def _goes_on(line: Line, part: Part, before: list[Any], unit: Any) -> bool:
    """Whether a part of a bench note makes a fault only together with the part before it."""
    forms, tables = line["forms"], line["tables"]
    looked = _looking(unit, part["part"])
    found = findings_said(forms, part["start"], part["end"], looked, tables)
    long = len([hit for hit in found if hit[3] > 1]) > 0
    if line["moment"] != "bench" or unit["found"] != "" or long:
        return False
    joined = _joined_with_last(line, part, before, looked)
    if len(joined) == 0:
        return False
    alone = read_part(line["tokens"], forms, part["start"], part["end"], looked, tables)["names"]
    wider = [tables["wider"].get(name[1], []) for name in before[1]]
    for name in joined:
        if name not in alone or len([names for names in wider if name[1] in names]) > 0:
            return True
    return False


HARMLESS = (WORKS, "dents or scratches only", "nothing said", "worked when stored")


def goods_fault(line: Line, parts: list[Part], k: int, faults: list[str]) -> list[str]:
    """A thing of another trade keeps the words of its fault as they were said."""
    tokens, forms, tables = line["tokens"], line["forms"], line["tables"]
    if len(faults) > 0 and faults[0] == WORKS:
        return faults
    for part in parts:
        if part["unit"] != k:
            continue
        words: list[str] = []
        for one in tokens[part["start"] : part["end"]]:
            if one["used"] in ("", "fault") and one["n"] is None:
                words.append("won't" if one["w"] == "wont" else one["w"])
            elif one["used"] not in ("type",):
                words = []
                break
        text = " ".join(words)
        form = " ".join([f for f in forms[part["start"] : part["end"]] if f != ""])
        hits = [e for e in tables["sayings"].get(form, []) if tables["names"][e[0]][0] == "fault"]
        if text != "" and (len(hits) > 0 or forms[part["start"]] in ("not", "no")):
            if len(faults) > 0 and faults[0] == UNTOLD and len(hits) > 0:
                return faults
            for i in range(part["start"], part["end"]):
                tokens[i]["used"] = tokens[i]["used"] if tokens[i]["used"] != "" else "fault"
            if text == "leaking":
                return ["leaks"]
            return [text]
    return faults


def _looking(unit: Table, part: str) -> Table:
    """The unit as one of its parts: the dryer of a pair has a dryer's faults alone."""
    if part in ("", "both", "same") or part not in unit["families"]:
        return unit
    looked = dict(unit)
    looked["families"] = [part]
    return looked


def _bare_noun(tokens: Tokens, start: int, end: int) -> bool:
    """Whether "but the light" names a thing alone, after "works" or "fine"."""
    if end - start < 2:
        return False
    before = [one["w"] for one in tokens[max(start - 6, 0) : start]]
    if tokens[start + 1]["w"] in ("no", "not", "dont", "don't"):
        return False  # "works but no longer needed"
    works = [w for w in before if w in ("works", "work", "working", "fine", "perfect", "good")]
    rest = [one["w"] for one in tokens[start + 1 : end]]
    said = [word for word in rest if word in SAID["verbs"] or word.endswith("nt")]
    return len(works) > 0 and len(said) == 0 and end - start < 6


def read_cut(tokens: Tokens, forms: list[str], part: Table, unit: Table, tables: Table) -> Table:
    """A part as a whole, or its two halves at "and" where both say something of their own."""
    whole = read_part(tokens, forms, part["start"], part["end"], unit, tables)
    head = [one["w"] for one in tokens[part["start"] : part["start"] + 2]]
    excepted = head[0] in ("except", "cept", "minus")
    excepted = excepted or (head[0] == "but" and head[-1] in SAID["but the"])
    excepted = excepted and _bare_noun(tokens, part["start"], part["end"])
    if excepted and len(whole["names"]) == 0:
        # "everything works but the light": what is excepted does not work
        text = text_of(tokens, forms, part["start"], part["end"], SAID["not signs"])
        sign = sign_of(text + "not work out dead ", unit["families"], [], unit, tables)
        if len(sign) > 0:
            return whole_part([sign[0], sign[1]], part["start"], part["end"], False)
    together = whole["names"][0] if len(whole["names"]) > 0 else ["", ""]
    for i in range(part["start"] + 1, part["end"] - 1):
        if tokens[i]["w"] not in ("and", "&", "plus", "also"):
            continue
        over = [s for s in whole["spans"] if s[0] < i < s[1] and s[1] - s[0] < 8]
        if len(over) > 0 and [part["start"], part["end"]] not in over:
            continue
        one = read_part(tokens, forms, part["start"], i, unit, tables)
        two = read_part(tokens, forms, i + 1, part["end"], unit, tables)
        if len(one["names"]) == 0 or len(two["names"]) == 0 or one["weak"] or two["weak"]:
            continue
        if together[1] in tables["together"] and together not in one["names"] + two["names"]:
            continue
        names = one["names"] + [name for name in two["names"] if name not in one["names"]]
        more = {"spans": one["spans"] + two["spans"], "words": one["words"] + two["words"]}
        return {"names": names, **more, "weak": False}
    return whole


def _joined_with_last(line: Line, part: Part, last: list[Any], unit: Any) -> list[Any]:
    """The fault that this part and the one before make only together ("spins, won't agitate")."""
    tables = line["tables"]
    if len(last) == 0 or last[2] != unit["families"]:
        return []
    got = read_part(line["tokens"], line["forms"], last[0], part["end"], unit, tables)
    alone = [name[1] for name in last[1]]
    for name in got["names"]:
        if name[1] in tables["together"] and name[1] not in alone:
            return [name]
    return []


def own_troubles(line: Line, part: Part, unit: Any, named: list[Any]) -> bool:
    """Faults and repairs by the person's own words; whether the part said one of their faults."""
    tokens, own, moment = line["tokens"], line["own"], line["moment"]
    hit = False
    for i in range(part["start"], part["end"]):
        size = listed_at(tokens, i, own.get("faults", {}), 7)
        if size > 0 and tokens[i]["used"] == "":
            key = " ".join([one["w"] for one in tokens[i : i + size]])
            named.append(["own", own["faults"][key]])
            mark(tokens, [[i, i + size]])
            hit = True
            continue
        size = listed_at(tokens, i, own.get("repairs", {}), 5)
        if size > 0 and moment != "offer" and tokens[i]["used"] == "":
            key = " ".join([one["w"] for one in tokens[i : i + size]])
            name = own["repairs"][key]
            if moment == "bench" and unit["found"] == "":
                unit["found"] = name
            elif name not in unit["repair"]:
                unit["repair"].append(name)
            mark(tokens, [[i, i + size]])
    return hit


def tags_of(
    tokens: Tokens, forms: list[str], parts: Tables, units: Tables, tables: Table
) -> list[str]:
    """The tags of cautions that the words bring: by the faults and findings, and by signs."""
    tags: list[str] = []
    for unit in units:
        for name in [*unit["faults"], unit["found"], *unit["repair"]]:
            for tag in tables["fault_tags"].get(name, "").split("; "):
                if tag != "" and tag not in tags:
                    tags.append(tag)
        if unit["goods"] and unit["type"].startswith("gas ") and "gas" not in tags:
            tags.append("gas")
        refused = [*tables["refused_goods"], "water heater", "garbage disposer"]
        if unit["type"] in refused and "refused" not in tags:
            tags.append("refused")
        if "microwave" in unit["families"] and "microwave" not in tags and _open_it(unit):
            tags.append("microwave")
    for part in parts:
        text = text_of(tokens, forms, part["start"], part["end"], [])
        cold = [f for f in units[part["unit"]]["families"] if f in ("fridge", "air")]
        _tag(without_one(text, ["no", "without", "never"]), tags, tables, len(cold) > 0)
    whole = text_of(tokens, forms, 0, len(tokens), [])
    for row in _tag_signs(tables):
        if row[0] in ("tip-over", "child entrapment", "live 240 V", "hot water", "move", "gas"):
            if row[0] not in tags and sign_fits(whole, row[1], row[2]) and row[0] != "gas":
                tags.append(row[0])
    return tags


def _open_it(unit: Table) -> bool:
    """Whether mending a microwave, or one in a bigger unit, needs its case open."""
    broken = [n for n in unit["faults"] if n not in (WORKS, UNTOLD, "light out")]
    broken += [unit["found"]] if unit["found"] != "" else []
    alone = len(broken) > 0 and len(unit["families"]) == 1
    return alone or len([n for n in broken if n in SAID["microwave"]]) > 0


def _tag_signs(tables: Table) -> list[Any]:
    if "ready_tags" not in tables:
        tables["ready_tags"] = ready_signs(tables["tag_signs"])
    return list(tables["ready_tags"])


def _tag(text: str, tags: list[str], tables: Table, cold: bool) -> None:
    """The tags whose signs the text of one part bears; what hisses at a cold unit is refrigerant,
    also where the unit is named in another part."""
    for row in _tag_signs(tables):
        said = text + "fridge " if cold and row[0] == "refrigerant" else text
        if row[0] not in tags and sign_fits(said, row[1], row[2]):
            tags.append(row[0])
