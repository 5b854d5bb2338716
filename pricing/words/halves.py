"""What of one unit is well and what is not: "warm fridge, freezer ok", "won't bake, broils fine".
The two halves may stand in any order and in clauses apart. Plain functions over lists and dicts:
the phone's file holds the same code, translated."""

from pricing.words.tokens import SAID, Table, Tables, Tokens

TOP = {"top-freezer fridge": "freezer", "bottom-freezer/French-door fridge": "fridge"}
BOTTOM = {"top-freezer fridge": "fridge", "bottom-freezer/French-door fridge": "freezer"}
# Degrees F over which it is too warm; common practice: 37 and 0 are right.
WARMEST = {"whole": 44, "fridge": 44, "freezer": 24}


def told_by_halves(tokens: Tokens, forms: list[str], parts: Tables, k: int, unit: Table) -> str:
    """The fault that the halves of unit k tell; "" for none."""
    cold = "fridge" in unit["families"] and unit["type"] in SAID["two halves"]
    held = [one for one in unit["families"] if one in ("washer", "range")]
    if (not cold and len(held) == 0) or "front-load" in unit["sides"]:
        return ""
    states: dict[str, str] = {}
    for part in parts:
        if part["unit"] == k and not part.get("found", False):
            _turns_in(tokens, forms, part, states)
            _states_in(tokens, forms, part, unit, states)
    for row in SAID["halves"]:
        fault, well, bad = row.split(": ")
        if states.get(well, "") == "well" and states.get(bad, "") == "bad":
            return _used(tokens, parts, k, fault)
    warm = [states.get("fridge", states.get("whole", "")), states.get("freezer", "")]
    return _used(tokens, parts, k, "not cooling") if cold and warm == ["bad", "bad"] else ""


def _used(tokens: Tokens, parts: Tables, k: int, fault: str) -> str:
    """The fault, its words noted as used."""
    for part in [one for one in parts if one["unit"] == k]:
        for one in tokens[part["start"] : part["end"]]:
            one["used"] = "fault" if one.get("half", False) else one["used"]
    return fault


def _turns_in(tokens: Tokens, forms: list[str], part: Table, states: dict[str, str]) -> None:
    """ "Agitates, drains, won't spin": which of the two a washer does."""
    said: list[str] = []
    for i in range(part["start"], part["end"]):
        said = [*said, forms[i]] if forms[i] != "" else said
        if tokens[i]["w"] == "agitator" and "not" in forms[i : part["end"]]:
            states.setdefault("agitat", "bad")
        if forms[i] not in ("agitat", "spin") or tokens[i]["w"] == "agitator":
            continue
        if "not" in said[-5:] or "no" in said[-5:]:
            states.setdefault(forms[i], "bad")
        elif tokens[i]["w"] in ("agitates", "spins", "agitating", "spinning"):
            states.setdefault(forms[i], "well")


def _states_in(
    tokens: Tokens, forms: list[str], part: Table, unit: Table, states: dict[str, str]
) -> None:
    """Note how each half is that a clause speaks of."""
    half = "whole"
    denied = False
    end = part["end"]
    cold = unit["families"][0] == "fridge"
    for i in range(part["start"], end):
        word = tokens[i]["w"]
        named = _half_at(tokens, i, unit)
        if named != "":
            half = named
            denied = denied and (word in SAID["is well"] or tokens[i - 1]["w"] in SAID["keeps"])
        if _denies(forms[i], word):
            denied = True
            if _only_denied(forms, i, end, half, word):
                states[half] = "bad"
        state = _state_at(tokens, i, half, cold)
        if state == "" or (named in ("bake", "broil") and not denied and i + 1 < end):
            continue
        ahead = _half_ahead(tokens, i, end, unit)
        _note(states, half if ahead == "" else ahead, state, denied)
        if cold and tokens[i]["used"] == "":
            tokens[i]["half"] = True
        denied = False


def _note(states: dict[str, str], half: str, state: str, denied: bool) -> None:
    """The first that is said of a half counts; a denial turns it."""
    turned = "bad" if state == "well" else "well"
    states.setdefault(half, turned if denied else state)


def _denies(form: str, word: str) -> bool:
    return form in ("not", "no") or form.startswith("not ") or word in SAID["hardly"]


def _only_denied(forms: list[str], i: int, end: int, half: str, word: str) -> bool:
    """ "Fridge works, freezer doesn't": nothing is said but the denial."""
    last = len([form for form in forms[i + 1 : end] if form != ""]) == 0
    alone = last and half != "whole" and word not in SAID["hardly"]
    return alone or forms[i].startswith("not work")


def _state_at(tokens: Tokens, i: int, half: str, cold: bool) -> str:
    """ "well" or "bad", by a word or by the degrees that are told; "" for neither."""
    word = tokens[i]["w"]
    if word in SAID["is well"]:
        return "well"
    if word in SAID["is bad"]:
        return "bad" if cold or word == "dead" else ""
    if not cold or half not in WARMEST or tokens[i]["used"] not in ("no", "open"):
        return ""
    told = i > 0 and tokens[i - 1]["w"] in (*SAID["reads at"], half)
    if not told or tokens[i]["n"] is None:
        return ""
    return "bad" if tokens[i]["n"] > WARMEST[half] else "well"


def _half_at(tokens: Tokens, i: int, unit: Table) -> str:
    """The half that a word names; "else" for a part that is none; "" for any other word."""
    one = tokens[i]
    if one["used"] == "type":
        alone = i == 0 or tokens[i - 1]["used"] != "type"
        freezer = one["w"] == "freezer" and alone and unit["type"] == "fridge"
        return "freezer" if freezer else "whole"
    if one["w"] in SAID["else of it"]:
        return "else"
    if one["w"] in ("top", "bottom"):
        listed = TOP if one["w"] == "top" else BOTTOM
        return listed.get(unit["type"], "")
    for half in ("freezer", "fridge", "bake", "broil"):
        if one["w"] in SAID["half " + half]:
            return half
    return ""


def _half_ahead(tokens: Tokens, i: int, end: int, unit: Table) -> str:
    """ "Warm fridge", "cold in the freezer": the half that stands right behind its state."""
    if i > 0 and tokens[i]["stop"] == 0 and _half_at(tokens, i - 1, unit) in ("freezer", "fridge"):
        return ""
    j = i + 1
    while j < end and tokens[j]["w"] in ("in", "the", "inside", "up", "on", "down"):
        j += 1
    beside = j < end and (j == i + 1 or tokens[j - 1]["w"] in ("in", "the", "inside", "up", "on"))
    named = _half_at(tokens, j, unit) if beside else ""
    after = tokens[j + 1]["w"] if j + 1 < end else ""
    goes_on = j == i + 1 and after in (*SAID["is well"], *SAID["is bad"], "is", "not")
    return "" if goes_on or named in ("whole", "else") else named
