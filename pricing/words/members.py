"""Several of one kind told apart: "two window ACs, one warm, one dead", "three washers, two work,
the other doesn't". Plain functions over lists and dicts: the phone's file holds the same code."""

from __future__ import annotations

from typing import Any

from pricing.words.tokens import Token, Tokens
from pricing.words.wordlists import LISTED

LONE = {"good": "works", "fine": "works", "ok": "works", "okay": "works", "great": "works",
        "bad": "broken", "not": "broken", "junk": "broken", "shot": "broken"}  # fmt: skip


def told_apart(tokens: Tokens, forms: list[str], units: list[Any]) -> list[Any]:
    """The one counted unit as its members, where the line tells them apart and they add up."""
    if len(units) != 1 or units[0]["count"] < 2:
        return units
    unit = units[0]
    sure = _members(tokens, unit, False)
    for found in (sure, _members(tokens, unit, True)):
        left = unit["count"] - sum([one[1] for one in found])
        rest = [one for one in found if one[1] == 0]
        if len(rest) == 1 and left > 0:
            rest[0][1] = left
            left = 0
        if len(found) > 1 and left == 0 and len([one for one in found if one[1] == 0]) == 0:
            return _split(tokens, forms, unit, found)
    return units


def _members(tokens: Tokens, unit: Any, loose: bool) -> list[list[int]]:
    """[place, how many (0: those left)] of each member; loose: "one" without a stop too."""
    out: list[list[int]] = []
    i = unit["end"]
    while i < len(tokens):
        one = tokens[i]
        before = tokens[i - 1]["w"]
        begins = i == unit["end"] or _begins(one, tokens[i - 1])
        size = 1
        if one["w"] in LISTED["ordinals"] and begins:
            out.append([i, 1])
            size = 2  # "first one"
        elif one["w"] == "other" and before == "the":
            after = tokens[i + 1] if i + 1 < len(tokens) else one
            named = after["n"] is not None and after["stop"] == 0
            out.append([i, int(after["n"]) if named else 1])
            size = 2 if named else 1
        elif one["w"] in LISTED["others"] and begins:
            out.append([i, 0])
        elif begins or (loose and (_lone(one, before) or _does(tokens, i))):
            if _counts(tokens, i, unit["count"]):
                out.append([i, int(one["n"])])
        i += size
    return out


def _begins(one: Token, before: Token) -> bool:
    return one["stop"] > 0 or before["w"] in LISTED["before"] or before["n"] is not None


def _does(tokens: Tokens, i: int) -> bool:
    """ "3 work 3 dont": a count and what its members do."""
    after = tokens[i + 1] if i + 1 < len(tokens) else None
    return after is not None and after["stop"] == 0 and after["w"] in LISTED["does too"]


def _lone(one: Token, before: str) -> bool:
    return one["w"] == "one" and before not in LISTED["no member"]


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
    return tokens[i + 1]["stop"] > 0 or tokens[i + 1]["w"] in ("and", "&", "for", "but")


def _split(tokens: Tokens, forms: list[str], unit: Any, members: list[list[int]]) -> list[Any]:
    out: list[Any] = []
    for k in range(len(members)):
        at, count = members[k]
        tokens[at]["used"] = "units"
        forms[at] = ""
        if at + 1 < len(tokens) and tokens[at + 1]["n"] is not None:
            if tokens[at]["w"] in ("other", *LISTED["ordinals"]):
                tokens[at + 1]["used"] = "units"
                forms[at + 1] = ""
        end = members[k + 1][0] if k + 1 < len(members) else len(tokens)
        _lone_word(tokens, forms, at + 1, end)
        start = unit["start"] if k == 0 else at
        stop = unit["end"] if k == 0 else at + 1
        out.append({**unit, "start": start, "end": stop, "count": count, "unit": k, "cut": at})
    return out


def _lone_word(tokens: Tokens, forms: list[str], start: int, end: int) -> None:
    """ "One good, one bad": works, and does not."""
    words = [i for i in range(start, end) if forms[i] != "" and tokens[i]["w"] != "one"]
    if len(words) == 0 or tokens[words[0]]["w"] not in LONE:
        return
    if len(words) == 1 or tokens[words[1]]["stop"] > 0 or tokens[words[1]]["w"] in LISTED["before"]:
        tokens[words[0]]["w"] = LONE[tokens[words[0]]["w"]]
        forms[words[0]] = "work" if tokens[words[0]]["w"] == "works" else "broken"
