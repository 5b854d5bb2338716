"""Faults, findings and repairs of each unit, part by part."""

from __future__ import annotations

from typing import Any

from pricing.words.kinds import listed_at
from pricing.words.mending import known
from pricing.words.tokens import Token
from pricing.words.troubles import (
    NOT_SIGNS,
    TOGETHER,
    UNTOLD,
    WIDER,
    WORKS,
    denied,
    findings_said,
    read_part,
    sign_of,
    text_of,
    tidy_faults,
)

TELLING = ("told", "says", "said", "customer", "owner", "complaint")
DOING = ("new", "replaced", "replace", "installed", "changed", "fresh", "rebuilt", "waiting",
         "swapped",
         "put", "putting", "needs", "need", "ordered", "needing")  # fmt: skip


def read_troubles(
    tokens: list[Token],
    forms: list[str],
    parts: list[dict[str, Any]],
    units: list[dict[str, Any]],
    moment: str,
    tables: dict[str, Any],
    own: dict[str, Any],
) -> None:
    """Fill faults, found and repair of each unit, part by part."""
    named: list[list[Any]] = [[] for _ in units]
    told = {"named": named, "last": [[] for _ in units]}
    for part in parts:
        if units[part["unit"]]["type"] != "":
            _read_one(tokens, forms, part, units, told, moment, tables, own)
    for k in range(len(units)):
        units[k]["faults"] = tidy_faults(named[k], units[k]["count"] > 1, units[k]["sides"])
        if units[k]["goods"] or (units[k]["type"] != "" and len(units[k]["families"]) == 0):
            if units[k]["type"] != "laundry pedestal":
                units[k]["faults"] = goods_fault(
                    tokens, forms, parts, k, units[k]["faults"], tables
                )


def _read_one(
    tokens: list[Token],
    forms: list[str],
    part: dict[str, Any],
    units: list[dict[str, Any]],
    told: dict[str, Any],
    moment: str,
    tables: dict[str, Any],
    own: dict[str, Any],
) -> None:
    """One part of the line: the faults into `named` of what is told, what was found into its unit;
    `last` keeps what the part before said of the same unit."""
    named: list[list[Any]] = told["named"]
    last: list[list[Any]] = told["last"]
    at = part["unit"]
    unit = units[at]
    looked = _looking(unit, part["part"])
    if own_troubles(tokens, part, unit, named[at], moment, own):
        last[at] = []
        return
    if moment != "offer" and not _goes_on(tokens, forms, part, last[at], unit, moment, tables):
        if _findings(tokens, forms, part, looked, unit, named, moment, tables):
            last[at] = []
            return
    got = read_cut(tokens, forms, part, looked, tables)
    if moment == "bench":  # at the bench it is the person who took it apart
        got["names"] = [n for n in got["names"] if n[1] != "taken apart by the owner"]
        if len(named[at]) > 0:
            got["names"] = [n for n in got["names"] if n[0] != "danger" and n[1] != WORKS]
            if unit["found"] != "":
                got["names"] = []
    _mark(tokens, got["spans"])
    part["fault"] = len([n for n in got["names"] if n[1] not in HARMLESS]) > 0
    joined = _joined_with_last(tokens, forms, part, last[at], looked, tables)
    joined = [name for name in joined if name not in got["names"] and unit["found"] == ""]
    start = part["start"]
    if len(joined) > 0:
        start = last[at][0]
        for name in last[at][1]:
            if name in named[at]:
                named[at].remove(name)
        got["names"] = joined
        _mark(tokens, [[start, part["end"]]])
    named[at] += got["names"]
    last[at] = [start, got["names"], looked["families"]]
    if len(units) > 1:
        _of_the_others(tokens, part, units, named, got["names"])


def _of_the_others(
    tokens: list[Token],
    part: dict[str, Any],
    units: list[dict[str, Any]],
    named: list[list[Any]],
    names: list[Any],
) -> None:
    """ "All working", "both leak": said of the last unit, it holds for the others too."""
    words = [one["w"] for one in tokens[part["start"] : part["end"]]]
    if words[0] == "all" or len([w for w in words if w in EACH]) > 0:
        for j in range(len(units)):
            if j != part["unit"]:
                held = ["any", *units[j]["families"]]
                named[j] += [n for n in names if n[0] in held]


def _goes_on(
    tokens: list[Token],
    forms: list[str],
    part: dict[str, Any],
    before: list[Any],
    unit: dict[str, Any],
    moment: str,
    tables: dict[str, Any],
) -> bool:
    """Whether a part of a bench note makes a fault only together with the part before it."""
    looked = _looking(unit, part["part"])
    found = findings_said(forms, part["start"], part["end"], looked, tables)
    if moment != "bench" or unit["found"] != "" or len([hit for hit in found if hit[3] > 1]) > 0:
        return False
    joined = _joined_with_last(tokens, forms, part, before, looked, tables)
    if len(joined) == 0:
        return False
    alone = read_part(tokens, forms, part["start"], part["end"], looked, tables)["names"]
    wider = [WIDER.get(name[1], []) for name in before[1]]
    for name in joined:
        if name not in alone or len([names for names in wider if name[1] in names]) > 0:
            return True
    return False


EACH = ("both", "neither", "none", "either")
HARMLESS = (WORKS, "dents or scratches only", "nothing said", "worked when stored")


def goods_fault(
    tokens: list[Token],
    forms: list[str],
    parts: list[dict[str, Any]],
    k: int,
    faults: list[str],
    tables: dict[str, Any],
) -> list[str]:
    """A thing of another trade keeps the words of its fault as they were said."""
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


def _looking(unit: dict[str, Any], part: str) -> dict[str, Any]:
    """The unit as one of its parts: the dryer of a pair has a dryer's faults alone."""
    if part in ("", "both", "same") or part not in unit["families"]:
        return unit
    looked = dict(unit)
    looked["families"] = [part]
    return looked


VERBS = (
    "is", "are", "has", "have", "does", "do", "not", "still", "it", "its", "it's", "they",
    "when", "if", "only", "runs", "heats", "works", "was", "needs", "need",
)  # fmt: skip


def _bare_noun(tokens: list[Token], start: int, end: int) -> bool:
    """Whether "but the light" names a thing alone, after "works" or "fine"."""
    before = [one["w"] for one in tokens[max(start - 6, 0) : start]]
    works = [w for w in before if w in ("works", "work", "working", "fine", "perfect", "good")]
    said = [one for one in tokens[start + 1 : end] if one["w"] in VERBS or one["w"].endswith("nt")]
    return len(works) > 0 and len(said) == 0 and end - start < 6


def read_cut(
    tokens: list[Token],
    forms: list[str],
    part: dict[str, Any],
    unit: dict[str, Any],
    tables: dict[str, Any],
) -> dict[str, Any]:
    """A part as a whole, or its two halves at "and" where both say something of their own."""
    whole = read_part(tokens, forms, part["start"], part["end"], unit, tables)
    excepted = tokens[part["start"]]["w"] in ("but", "except", "cept", "minus")
    excepted = excepted and _bare_noun(tokens, part["start"], part["end"])
    if excepted and len(whole["names"]) == 0:
        # "everything works but the light": what is excepted does not work
        text = text_of(tokens, forms, part["start"], part["end"], NOT_SIGNS) + "not work out dead "
        sign = sign_of(text, unit["families"], [], unit, tables)
        if len(sign) > 0:
            found = [[sign[0], sign[1]]]
            return {"names": found, "spans": [[part["start"], part["end"]]], "weak": False}
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
        if together[1] in TOGETHER and together not in one["names"] + two["names"]:
            continue
        names = [*one["names"]]
        for name in two["names"]:
            if name not in names:
                names.append(name)
        return {"names": names, "spans": one["spans"] + two["spans"], "weak": False}
    return whole


def _joined_with_last(
    tokens: list[Token],
    forms: list[str],
    part: dict[str, Any],
    last: list[Any],
    unit: dict[str, Any],
    tables: dict[str, Any],
) -> list[Any]:
    """The fault that this part and the one before make only together ("spins, won't agitate")."""
    if len(last) == 0 or last[2] != unit["families"]:
        return []
    got = read_part(tokens, forms, last[0], part["end"], unit, tables)
    alone = [name[1] for name in last[1]]
    for name in got["names"]:
        if name[1] in TOGETHER and name[1] not in alone:
            return [name]
    return []


def _mark(tokens: list[Token], spans: list[Any]) -> None:
    for span in spans:
        for i in range(span[0], span[1]):
            one = tokens[i]
            counts = one["n"] is not None and not (one.get("spelled", False) and one["n"] < 5)
            if one["used"] == "" and not counts:  # a number is never taken for part of a fault
                one["used"] = "fault"


def _findings(
    tokens: list[Token],
    forms: list[str],
    part: dict[str, Any],
    looked: dict[str, Any],
    unit: dict[str, Any],
    named: list[list[Any]],
    moment: str,
    tables: dict[str, Any],
) -> bool:
    """Take findings and repairs of one part; whether it said any."""
    words = [one["w"] for one in tokens[part["start"] : part["end"]]]
    doing = len([w for w in words if w in DOING]) > 0
    said = findings_said(forms, part["start"], part["end"], looked, tables)
    if moment == "ask":
        said = [hit for hit in said if doing or hit[2] in ACTIONS]
    else:
        if len([w for w in words if w in TELLING]) > 0 and len(named[part["unit"]]) == 0:
            return False
        fault = read_part(tokens, forms, part["start"], part["end"], looked, tables)
        firm = [n for n in fault["names"] if not fault["weak"]]
        firm = [n for n in firm if n[1] != "taken apart by the owner"]
        if len(named[part["unit"]]) == 0 and len(firm) > 0:
            said = [hit for hit in said if not _overlaps(hit, fault["spans"])]
            if len(said) == 0:
                return False
            named[part["unit"]] += firm
            _mark(tokens, fault["spans"])
    said = [hit for hit in said if not _denied_finding(forms, hit, part)]
    said = [hit for hit in said if _next_form(forms, hit[1], part["end"]) not in FINE]
    if len(said) == 0:
        return False
    for hit in said:
        _mark(tokens, [[hit[0], hit[1]]])
        _keep_finding(hit[2], unit, doing, moment)
    for i in range(part["start"], part["end"]):
        if tokens[i]["used"] == "" and tokens[i]["n"] is None and known(tokens[i]["w"], tables):
            tokens[i]["used"] = "finding"
    return True


FINE = ("hot", "warm", "run", "ok", "good", "fin", "work", "okay", "spin", "check", "test")


def _next_form(forms: list[str], i: int, end: int) -> str:
    while i < end:
        if forms[i] != "":
            return forms[i]
        i += 1
    return ""


def _overlaps(hit: list[Any], spans: list[Any]) -> bool:
    for span in spans:
        if hit[0] < span[1] and span[0] < hit[1]:
            return True
    return False


def _denied_finding(forms: list[str], hit: list[Any], part: dict[str, Any]) -> bool:
    return (
        hit[3] <= 2 and forms[hit[0]] not in ("not", "no") and denied(forms, hit[0], part["start"])
    )


ACTIONS = ("cleaned", "reset", "leveled", "coils cleaned", "vent cleared", "hose cleared",
           "drain cleared", "burner cleaned", "arms and filter cleaned", "air filter cleaned",
           "pump filter cleared", "inlet screens cleaned", "fill tube thawed",
           "foreign object removed")  # fmt: skip


def _keep_finding(name: str, unit: dict[str, Any], doing: bool, moment: str) -> None:
    if moment == "ask":
        if name not in unit["repair"]:
            unit["repair"].append(name)
        return
    if unit["found"] == "":
        unit["found"] = name
    elif name == "cleaned" and unit["found"].endswith("sensor"):
        unit["repair"].append(name)
    elif name != unit["found"] and doing and name not in unit["repair"]:
        unit["repair"].append(name)


def own_troubles(
    tokens: list[Token],
    part: dict[str, Any],
    unit: dict[str, Any],
    named: list[Any],
    moment: str,
    own: dict[str, Any],
) -> bool:
    """Faults and repairs by the person's own words; whether the part said one of their faults."""
    hit = False
    for i in range(part["start"], part["end"]):
        size = listed_at(tokens, i, own.get("faults", {}), 7)
        if size > 0 and tokens[i]["used"] == "":
            key = " ".join([one["w"] for one in tokens[i : i + size]])
            named.append(["own", own["faults"][key]])
            _mark(tokens, [[i, i + size]])
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
            _mark(tokens, [[i, i + size]])
    return hit
