"""What was found in a unit and what was done to it, in one part of a bench note or of a listing."""

from typing import Any

from pricing.words.amounts import begins_with, has_phrase
from pricing.words.digits import DIGITS
from pricing.words.sayings import known
from pricing.words.tokens import SAID, Table, Tokens
from pricing.words.troubles import denied, findings_said, mark, read_part

Line = dict[str, Any]  # tokens, forms, moment, tables, own: what every step of one line needs
Part = dict[str, Any]  # start, end, unit, part: a piece of the line between two cuts


def take_findings(line: Line, part: Part, looked: Any, unit: Any, named: list[Any]) -> bool:
    """Take findings and repairs of one part; whether it said any. Faults go into `named`."""
    tokens, forms, tables = line["tokens"], line["forms"], line["tables"]
    start, end = part["start"], part["end"]
    words = [one["w"] for one in tokens[start:end]]
    doing = len([w for w in " ".join(words).replace("like new", "").split(" ")
                 if w in SAID["doing"]]) > 0  # fmt: skip
    said = findings_said(forms, start, end, looked, tables)
    away = [hit for hit in said if _denied_finding(forms, hit, part)]
    said = [hit for hit in said if hit not in away]
    soft = [hit for hit in said if tokens[hit[0]].get("soft", False)]  # "4 prong cord, new belt"
    soft = [hit for hit in soft if "prong" in words or not _new_before(tokens, hit[0])]
    if line["moment"] == "ask" or "prong" in words:
        said = [hit for hit in said if hit not in soft]
    if line["moment"] == "ask":
        said = [hit for hit in said if doing or hit[2] in SAID["actions"][1:]]
        for one in tokens[start:end] if doing and len(said) == 0 else []:
            one["unsaid"] = True  # what was done, and not read, is told
    else:
        if len([w for w in words if w in SAID["telling"]]) > 0 and len(named) == 0:
            return False
        said = [hit for hit in said if not _only_looked(forms, hit, part)]
        firm, spans = _apart(line, part, looked, [*said, *away])
        if len(said) == 0 and len(firm) == 0 and len(away) > 0:
            mark(tokens, [[start, end]])
            return True  # "not the element"
        if len(named) == 0 and len(firm) > 0:
            both = len([one for one in firm if one[1] not in SAID["seen part"]]) == 0  # "boot torn"
            said = [h for h in said if both or not _overlaps(h, spans)]
            said = [h for h in said if _told_of(forms, h, part)]
            if len(said) == 0:
                return False
            named += firm
            mark(tokens, spans)
    kept = 0
    lost: list[int] = []
    seen = start
    for hit in said:
        helped_not(line, seen, hit[0], unit)
        seen = hit[1]
        if unit["found"] == "" and _cleared_by_later(line, hit, part, doing):
            mark(tokens, [[hit[0], hit[1]]])
            continue
        joins = [w for w in tokens[start : hit[0]] if w["w"] in ("+", "and", "&", "plus")]
        joined = len(joins) > 0 and _state_beside(forms, hit, part)
        sure = doing or joined or hit[2] in SAID["cleared"]
        if _keep_finding(hit[2], unit, sure, line["moment"]):
            mark(tokens, [[hit[0], hit[1]]])
            kept += 1
        else:
            lost += [*range(hit[0], hit[1]), *_states_of(forms, hit, part)]
    helped_not(line, seen, end, unit)
    if kept > 0:  # what else was found, and not kept, is told
        _mark_known([tokens[i] for i in range(start, end) if i not in lost], tables)
    return len(said) > 0


def _new_before(tokens: Tokens, i: int) -> bool:
    return i > 0 and tokens[i]["stop"] == 0 and tokens[i - 1]["w"] in SAID["doing"]


def blamed_at(line: Line, parts: list[Any], units: list[Any]) -> list[int]:
    """The last place where a bench note says of a part of each unit that something is the matter
    with it ("coupler sheared"), -1 for none."""
    forms, last = line["forms"], [-1 for _ in units]
    for part in parts:
        k = part["unit"]
        if units[k]["type"] == "" or "already" in forms[part["start"] : part["end"]]:
            continue
        for hit in findings_said(forms, part["start"], part["end"], units[k], line["tables"]):
            if _blamed(forms, hit, part) and not _only_looked(forms, hit, part):
                last[k] = hit[0]
    return last


def _blamed(forms: list[str], hit: list[Any], part: Part) -> bool:
    before = [form for form in forms[part["start"] : hit[0]] if form != ""]
    said = [form for form in before[-3:] if form in SAID["blames"]]
    return len(said) > 0 or hit[2] in SAID["actions"] or _state_beside(forms, hit, part)


def _cleared_by_later(line: Line, hit: list[Any], part: Part, doing: bool) -> bool:
    """Whether a part is only named ("motor spins, coupler sheared"): what is the matter comes."""
    if line["moment"] != "bench" or doing or _blamed(line["forms"], hit, part):
        return False
    return bool(line["blamed"][part["unit"]] > hit[0])


def _mark_known(tokens: Tokens, tables: Table) -> None:
    for one in tokens:
        if one["used"] == "" and one["n"] is None and known(one["w"], tables):
            one["used"] = "finding"


def _only_looked(forms: list[str], hit: list[Any], part: Part) -> bool:
    """ "Boot looks ok", "pulled the pump, sock in it": what is well, or was taken off to look."""
    after = [form for form in forms[hit[1] : part["end"]] if form != ""]
    if _is_fine(after):
        return True
    if begins_with(after, SAID["turns still"]) and not _state_beside(forms, hit, part):
        return True
    if forms[hit[0]] in SAID["looked"] or hit[2] in SAID["actions"]:
        return False
    if after[0:1] == ["full"]:
        return True  # "pump full of coins"
    before = ["", *[form for form in forms[part["start"] : hit[0]] if form != ""]]
    if has_phrase(before[-2:], ["out of", "degr at"]):
        return True  # "pulled coins out of the pump"
    last = before[-1]
    beside = last in SAID["looked"] or last in SAID["located"]  # "lego in the pump"
    return beside and not _state_beside(forms, hit, part)


def _is_fine(after: list[str]) -> bool:
    """ "Tests fine", "looks good"; "tests open" is not."""
    told = _measured(after)
    if 0 < len(told) < len(after) and told[0] in SAID["states"]:
        return False
    return begins_with(after, SAID["fine"]) or begins_with(told, SAID["fine"])


def _measured(after: list[str]) -> list[str]:
    """What follows the words and figures of a measurement: "ohms 10.4, so good"."""
    while len(after) > 0 and (after[0] in SAID["before fine"] or after[0][0] in DIGITS):
        after = after[1:]
    return after


def _apart(line: Line, part: Part, unit: Any, said: list[Any]) -> list[Any]:
    """[faults, spans of the faults] of one part of a bench note. A fault that only the words of a
    finding tell ("igniter cracked": no heat) is none: it was found, not complained of."""
    tokens, forms, tables = line["tokens"], line["forms"], line["tables"]
    start, end = part["start"], part["end"]
    fault = read_part(tokens, forms, start, end, unit, tables)
    firm = _firm(fault)
    over = [hit for hit in said if _tells_fault(line, hit, part, fault)]
    if len(over) == 0 or len(firm) == 0 or len([one for one in firm if one[1] in SAID["seen"]]) > 0:
        return [firm, fault["spans"]]
    used = [one["used"] for one in tokens[start:end]]
    rest = read_part(tokens, _blanked(line, over, part), start, end, unit, tables)
    for i in range(start, end):
        tokens[i]["used"] = used[i - start]
    spans = [span for span in rest["spans"] if len([h for h in over if _overlaps(h, [span])]) == 0]
    return [_firm(rest), spans]


def _tells_fault(line: Line, hit: list[Any], part: Part, fault: Table) -> bool:
    """Whether the words of a finding tell a fault; at the bench also by no other word."""
    if _overlaps(hit, fault["spans"]) and _told_of(line["forms"], hit, part):
        return True
    its = [*range(hit[0], hit[1]), *_states_of(line["forms"], hit, part)]  # "pump dead"
    out = [s for s in fault["words"] if len([i for i in range(s[0], s[1]) if i not in its]) > 0]
    return line["moment"] == "bench" and len(fault["words"]) > len(out) == 0


def _blanked(line: Line, hits: list[Any], part: Part) -> list[str]:
    """The forms without the words of some findings, which count as used till they are read."""
    bare = list(line["forms"])
    for hit in hits:
        for i in [*range(hit[0], hit[1]), *_states_of(line["forms"], hit, part)]:
            line["tokens"][i]["used"] = "place"
            bare[i] = ""
    return bare


def _told_of(forms: list[str], hit: list[Any], part: Part) -> bool:
    if hit[3] > 1 and hit[2] in SAID["told by finding"]:
        return True
    alone = "".join([*forms[part["start"] : hit[0]], *forms[hit[1] : part["end"]]]) == ""
    return alone or _state_beside(forms, hit, part) or _denied_finding(forms, hit, part)


def _firm(fault: Table) -> list[Any]:
    names = fault["names"] if not fault["weak"] else []
    return [one for one in names if one[1] != "taken apart by the owner"]


def _states_of(forms: list[str], hit: list[Any], part: Part) -> list[int]:
    """Places of the words beside a finding that say what is the matter with it."""
    found: list[int] = []
    for step in (1, -1):
        i = hit[1] if step > 0 else hit[0] - 1
        seen = 0
        while part["start"] <= i < part["end"] and seen < 2:
            if forms[i] != "":
                seen += 1
                verb = step < 0 and forms[i] == "open" and forms[i + 1] == ""  # "open the pump"
                if forms[i] in SAID["states"] and not verb:
                    found.append(i)
            i += step
    return found


def _state_beside(forms: list[str], hit: list[Any], part: Part) -> bool:
    inside = [form for form in forms[hit[0] : hit[1]] if form in SAID["states"]]
    words = [form for form in forms[part["start"] : part["end"]] if form != ""]
    if len([form for form in words if form in SAID["done"]]) > 0 or words[len(words) - 1] == "next":
        return True
    return len(inside) > 0 or len(_states_of(forms, hit, part)) > 0


def _overlaps(hit: list[Any], spans: list[Any]) -> bool:
    return len([span for span in spans if hit[0] < span[1] and span[0] < hit[1]]) > 0


def _denied_finding(forms: list[str], hit: list[Any], part: Part) -> bool:
    if hit[3] > 2 or forms[hit[0]] in ("not", "no"):
        return False
    return denied(forms, hit[0], part["start"])


def _keep_finding(name: str, unit: Table, doing: bool, moment: str) -> bool:
    """Whether it was kept: found first, or done besides; another one is told, not guessed at."""
    known_already = name == unit["found"] or name in unit["repair"]
    if name == "foreign object removed" and unit["found"] == "pump filter cleared":
        return True  # "coin trap full of hair ties"
    if moment == "bench" and not known_already:
        if unit.get("no cure", False):  # "cleaned it, still warm": what is found next is it
            unit["repair"].append(unit["found"])
            unit["found"] = name
            unit["no cure"] = False
            return True
        if unit["found"] == "":
            unit["found"] = name
            return True
    doing = doing or moment == "ask" or (name == "cleaned" and unit["found"].endswith("sensor"))
    if doing and not known_already:
        unit["repair"].append(name)
    return doing or known_already


def helped_not(line: Line, start: int, end: int, unit: Any) -> None:
    """ "New rollers, didn't help": what was found before is done, and the next finding is it."""
    words = [one["w"] for one in line["tokens"][start:end]]
    if line["moment"] == "bench" and unit["found"] != "" and has_phrase(words, SAID["no cure"]):
        unit["no cure"] = True


def not_cured(line: Line, part: Part, unit: Any, named: list[Any]) -> None:
    """Whether this part says that what was found before did not help: the next finding is it."""
    words = [one["w"] for one in line["tokens"][part["start"] : part["end"]]]
    if line["moment"] != "bench" or unit["found"] == "":
        return
    still = "still" in words and len(named) > 0
    if still or words[0] in SAID["again"]:
        unit["no cure"] = True
    helped_not(line, part["start"], part["end"], unit)
