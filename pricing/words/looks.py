"""Condition, finish, fuel, features, firm, best offer, free, stairs: sayings that are fields."""

from __future__ import annotations

from typing import Any

from pricing.words.amounts import says_free
from pricing.words.breath import Field
from pricing.words.sayings import saying_at
from pricing.words.tokens import Token


def take_said(
    tokens: list[Token],
    forms: list[str],
    fields: list[Field],
    moment: str,
    units: list[Any],
    tables: dict[str, Any],
) -> None:
    """Condition, finish, fuel, features, firm, best offer, free, stairs."""
    starts = [one["start"] for one in units]
    n = len(tokens)
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


def _take(
    name: list[Any],
    i: int,
    end: int,
    tokens: list[Token],
    forms: list[str],
    fields: list[Field],
    moment: str,
    starts: list[int],
) -> bool:
    kind, value = name[0], name[2]
    words = [t for t in tokens[i:end] if t["used"] not in ("", "no", "stairs", "size")]
    if kind in ("type", "plain", "plain word", "fault", "finding") or len(words) > 0:
        return False
    before = [f for f in forms[max(i - 2, 0) : i] if f != ""] if tokens[i]["stop"] == 0 else []
    no = (
        len(before) > 0 and before[-1] in ("not", "no", "without") and forms[i] not in ("not", "no")
    )
    alone = _alone(tokens, forms, i, end)
    if kind == "free":
        if moment != "offer" or (tokens[i]["w"] == "free" and not says_free(tokens, i)) or no:
            return False
        if tokens[i]["w"] in ("nothing", "no") and not alone:
            return False
        fields.append(["free", 0.0, i])
    elif kind == "firm":
        if no:
            return False
        fields.append(["firm", True, i])
    elif kind == "obo":
        fields.append(["or_best_offer", True, i])
    elif kind == "noprice":
        fields.append(["noprice", True, i])
    elif kind == "stairs":
        beyond = [t["w"] for t in tokens[end : end + 2]]
        if no or "flooded" in beyond or "flood" in beyond:
            return False
        before_now = [f for f in fields if f[0] == "stairs"]
        if len(before_now) > 0:
            if value == "0":
                before_now[0][1] = 0.0
            return _use(tokens, i, end, "stairs")
        fields.append(["stairs", float(value), i])
    elif kind == "condition":
        if no or not (alone or (moment != "offer" and _by_type(tokens, i, end, starts))):
            return False
        if moment == "offer" and end - i == 1 and value == "good" and not alone:
            return False
        fields.append(["condition", value, i])
    elif kind in ("untold", "idle"):
        pass
    elif kind in ("finish", "fuel"):
        if no or not _plainly(kind, tokens, forms, i, end, starts):
            return False
        fields.append([kind, value, i])
    elif kind == "feature":
        if no or (moment == "bench" and end - i == 1):
            return False
        fields.append(["features", value, i])
        for j in range(i, end):
            tokens[j]["soft"] = True
        return True
    else:
        return False
    return _use(tokens, i, end, kind)


def _use(tokens: list[Token], i: int, end: int, what: str) -> bool:
    for j in range(i, end):
        tokens[j]["used"] = what
    return True


def _alone(tokens: list[Token], forms: list[str], i: int, end: int) -> bool:
    """Whether nothing else that counts stands between the two stops around these words."""
    j = i
    while j > 0 and tokens[j]["stop"] == 0:
        j -= 1
        if forms[j] != "" and tokens[j]["used"] == "" and tokens[j]["w"] not in BESIDE:
            return False
        if tokens[j]["used"] == "part":
            return False
    j = end
    while j < len(tokens) and tokens[j]["stop"] == 0:
        if forms[j] != "" and tokens[j]["used"] == "" and tokens[j]["w"] not in BESIDE:
            return False
        j += 1
    return True


BESIDE = (
    "in but very overall otherwise cosmetically condition shape and or looks look for its age still"
    " really pretty so with color colour finish one believe think i"
).split(" ")


def _by_type(tokens: list[Token], i: int, end: int, starts: list[int]) -> bool:
    if i > 0 and tokens[i - 1]["used"] == "type" and tokens[i]["stop"] == 0:
        return True
    after = end < len(tokens) and tokens[end]["stop"] == 0
    return after and (tokens[end]["used"] == "type" or tokens[end]["w"] in ("one", "condition"))


# What a colour word says of something else: "black mold", "white smoke", "stainless tub".
SOILED = (
    "mold", "mould", "moldy", "gunk", "smoke", "stuff", "liquid", "water", "oil", "spots", "tub",
    "front", "sides", "gasket", "residue", "powder",
)  # fmt: skip


def _plainly(
    kind: str, tokens: list[Token], forms: list[str], i: int, end: int, starts: list[int]
) -> bool:
    """A colour or fuel counts alone, beside the type, or before "color"; not in "black mold"."""
    if _alone(tokens, forms, i, end):
        return True
    after = tokens[end] if end < len(tokens) and tokens[end]["stop"] == 0 else None
    if after is not None and (
        after["used"] in ("type", "maker") or after["w"] in ("color", "finish")
    ):
        return kind != "fuel" or end in starts
    before = tokens[i - 1] if i > 0 and tokens[i]["stop"] == 0 else None
    if before is None or before["used"] in ("", "fault", "finding"):
        return False
    if kind == "fuel":
        return before["used"] == "type"
    if before["used"] in ("made", "age", "size", "miles"):
        return after is None or after["w"] not in SOILED
    return after is None or after["used"] != "" or after["n"] is not None
