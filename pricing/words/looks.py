"""Condition, finish, fuel, features, firm, best offer, free, stairs: sayings that are fields."""

from typing import Any

from pricing.words.amounts import clause_words, says_free
from pricing.words.breath import Field
from pricing.words.sayings import saying_at
from pricing.words.tokens import SAID, Table, Token, Tokens


def take_said(
    tokens: Tokens,
    forms: list[str],
    fields: list[Field],
    moment: str,
    units: list[Any],
    tables: Table,
) -> None:
    """Condition, finish, fuel, features, firm, best offer, free, stairs."""
    starts = [one["start"] for one in units]
    n = len(tokens)
    _mark_looks(tokens, forms, tables)
    i = 0
    while i < n:
        if forms[i] == "" or tokens[i]["used"] in ("type", "tool", "place", "maker"):
            i += 1
            continue
        end = i + 1
        while end < n and tokens[end]["stop"] == 0 and end < i + 8:
            end += 1
        took = 0
        for hit in saying_at(forms, i, end, tables):
            for entry in hit[1]:
                name = tables["names"][entry[0]]
                if took == 0 and _take(name, i, hit[0], tokens, forms, fields, moment, starts):
                    took = hit[0] - i
            if took > 0:
                break
        i += took if took > 0 else 1


def _mark_looks(tokens: Tokens, forms: list[str], tables: Table) -> None:
    """Words of a condition or finish: beside each other ("stainless like new") each is alone."""
    for i in range(len(tokens)):
        if forms[i] == "" or tokens[i]["used"] != "":
            continue
        end = i + 1
        while end < len(tokens) and tokens[end]["stop"] == 0 and end < i + 4:
            end += 1
        for hit in saying_at(forms, i, end, tables):
            kinds = [tables["names"][entry[0]][0] for entry in hit[1]]
            if "condition" in kinds or "finish" in kinds or "feature" in kinds:
                for j in range(i, hit[0]):
                    tokens[j]["looks"] = True


def _take(
    name: list[Any],
    i: int,
    end: int,
    tokens: Tokens,
    forms: list[str],
    fields: list[Field],
    moment: str,
    starts: list[int],
) -> bool:
    kind, value = name[0], name[2]
    offer = tokens[i]["w"] == "or" or (tokens[i]["w"] == "best" and end - i > 2)
    free = ("", "no", "stairs", "size", "money" if offer else "")
    words = [t for t in tokens[i:end] if t["used"] not in free]
    guess = tokens[i]["ask"] and i > 0 and tokens[i - 1]["n"] is not None  # "150 fair?"
    if kind not in FIELD or len(words) > 0 or (kind == "condition" and guess):
        return False
    before = [f for f in forms[max(i - 2, 0) : i] if f != ""] if tokens[i]["stop"] == 0 else []
    no = len(before) > 0 and before[-1] in ("not", "no", "without")
    no = no and forms[i] not in ("not", "no")
    no = no or (
        kind == "firm" and len(before) > 0 and before[-1] in ("go", "get")
    )  # "goes no lower"
    if no and kind not in ("obo", "noprice", "untold", "idle"):
        return False
    if kind == "stairs":
        return _take_stairs(value, i, end, tokens, fields)
    if kind == "free" and (moment != "offer" or not _as_price(tokens, forms, i, end)):
        return False
    if kind == "condition" and not _as_condition(value, i, end, tokens, forms, moment, starts):
        return False
    if kind in ("finish", "fuel") and not _plainly(kind, tokens, forms, i, end, starts):
        return False
    if kind == "feature" and moment == "bench" and (end - i == 1 or value == "frost-free"):
        return False
    after = tokens[end]["w"] if end < len(tokens) and tokens[end]["stop"] == 0 else ""
    ran = len([word for word in clause_words(tokens, i, 3) if word in SAID["ran"]]) > 0
    if value == "self-cleaning" and (ran or after in SAID["ran then"]):
        return False  # "after self clean"
    if kind == "feature" and (after in SAID["not a feature"] or tokens[i]["w"] == "wires"):
        return False  # "pedestals extra", "convection fan screams", "wires in the back"
    if value == "frost-free" and tokens[i]["w"] == "no" and after in ("on", "in", "at", "anywhere"):
        return False
    if FIELD[kind] != "":
        said = 0.0 if kind == "free" else True if kind in ("firm", "obo", "noprice") else value
        fields.append([FIELD[kind], said, i])
    if kind == "obo" and tokens[i]["w"] not in ("obo", "o", "ono", "or"):
        fields.append(["noprice", True, i])  # "best offer", "negotiable"
    if kind == "feature":
        for j in range(i, end):
            tokens[j]["soft"] = True
        return True
    return _use(tokens, i, end, kind)


# Kinds of sayings that are fields, and the field of each; "" for those that say nothing.
FIELD = {
    "free": "free", "firm": "firm", "obo": "or_best_offer", "noprice": "noprice",
    "stairs": "stairs", "condition": "condition", "untold": "", "idle": "", "finish": "finish",
    "fuel": "fuel", "feature": "features",
}  # fmt: skip


def _take_stairs(value: str, i: int, end: int, tokens: Tokens, fields: list[Field]) -> bool:
    """Floors to carry; "no stairs" behind them takes them back."""
    beyond = [t["w"] for t in tokens[end : end + 2]]
    if len([w for w in beyond if w in SAID["no " + ("elevator" if value == "0" else "floor")]]) > 0:
        return False
    before_now = [f for f in fields if f[0] == "stairs"]
    if len(before_now) > 0 and value == "0":
        before_now[0][1] = 0.0
    elif len(before_now) == 0:
        fields.append(["stairs", float(value), i])
    return _use(tokens, i, end, "stairs")


def _as_price(tokens: Tokens, forms: list[str], i: int, end: int) -> bool:
    """Whether "free" and the like say a price here."""
    if tokens[i]["w"] == "free":
        return says_free(tokens, i)
    return tokens[i]["w"] not in ("nothing", "no") or _alone(tokens, forms, i, end)


def _as_condition(
    value: str, i: int, end: int, tokens: Tokens, forms: list[str], moment: str, starts: list[int]
) -> bool:
    """Whether it tells of the whole unit: alone between stops, or by its name where it is sold."""
    before = clause_words(tokens, i, 4)
    who = [word for word in before if word in SAID["who"]]  # "she was so nice"
    if len(who) > 0 and len([word for word in before if word in SAID["telling"]]) == 0:
        return False
    alone = tokens[end - 1]["w"] in ("shape", "condition", "cond") or _alone(tokens, forms, i, end)
    behind = i > 0 and tokens[i - 1]["used"] in SAID["looks behind"] and tokens[i]["stop"] == 0
    ends = end >= len(tokens) or tokens[end]["stop"] > 0 or tokens[end]["used"] != ""
    if behind and ((moment == "ask" and ends) or end - i > 1):
        return True  # "6 years good", "2021 like new slight scratch"
    if moment == "bench" and end - i == 1:  # "fan ok": of the fan, not of the whole unit
        ends = end >= len(tokens) or tokens[end]["stop"] > 0
        alone = alone and ends and tokens[i]["stop"] > 0
    leads = end < len(tokens) and tokens[end]["stop"] == 0 and "looks" in tokens[end]
    if moment == "offer" and end - i == 1 and value == "good" and leads:
        return False
    return alone or (moment != "offer" and _by_type(tokens, i, end, starts))


def _use(tokens: Tokens, i: int, end: int, what: str) -> bool:
    for one in tokens[i:end]:
        one["used"] = what
    return True


def _alone(tokens: Tokens, forms: list[str], i: int, end: int) -> bool:
    """Whether nothing else that counts stands between the two stops around these words."""
    j = i
    while j > 0 and tokens[j]["stop"] == 0 and tokens[j]["w"] not in SAID["split"]:
        j -= 1
        if tokens[j]["w"] in SAID["split"]:
            break
        if _counts(tokens[j], forms[j]):
            return False
        if tokens[j]["used"] == "part":
            return False
    j = end
    while j < len(tokens) and tokens[j]["stop"] == 0 and tokens[j]["w"] not in SAID["split"]:
        if _counts(tokens[j], forms[j]):
            return False
        j += 1
    return True


def _counts(one: Token, form: str) -> bool:
    looks = "looks" in one or (one["n"] is not None and one["ask"])
    return form != "" and one["used"] == "" and one["w"] not in SAID["beside"] and not looks


def _by_type(tokens: Tokens, i: int, end: int, starts: list[int]) -> bool:
    if i > 0 and tokens[i - 1]["used"] == "type" and tokens[i]["stop"] == 0:
        return True
    after = end < len(tokens) and tokens[end]["stop"] == 0
    return after and (tokens[end]["used"] == "type" or tokens[end]["w"] in ("one", "condition"))


def _plainly(
    kind: str, tokens: Tokens, forms: list[str], i: int, end: int, starts: list[int]
) -> bool:
    """A colour or fuel counts alone, beside the type, or before "color"; not in "black mold"."""
    if _alone(tokens, forms, i, end) or (i > 0 and tokens[i - 1]["used"] == "units"):
        return True  # "one gas with a dead burner"
    after = tokens[end] if end < len(tokens) and tokens[end]["stop"] == 0 else None
    named = after is not None and after["used"] in ("type", "maker")
    if named or (after is not None and after["w"] in SAID["after looks"]):
        typed = i > 0 and tokens[i]["stop"] == 0 and tokens[i - 1]["used"] == "type"
        return kind != "fuel" or end in starts or typed  # "stove gas works"
    lone = after is None or after["n"] is not None
    if kind == "fuel" and lone and tokens[i - 1]["w"] not in SAID["fuel else"]:
        return True
    if kind == "fuel" and after is not None and after["w"] in ("one", "model", "type", "version"):
        return True
    before = tokens[i - 1] if i > 0 and tokens[i]["stop"] == 0 else None
    if before is not None and before["w"] == "all" and i > 1:
        before = tokens[i - 2]
    if before is None or before["used"] in ("", "fault", "finding"):
        return False
    if kind == "fuel":
        return before["used"] == "type"
    if before["used"] in ("made", "age", "size", "miles", "type"):
        return after is None or after["w"] not in SAID["soiled"]
    return after is None or after["used"] != "" or after["n"] is not None
