"""Makers, the person's own features, and places."""

from typing import Any

from pricing.words.amounts import words_after
from pricing.words.breath import Field
from pricing.words.kinds import listed_at
from pricing.words.sayings import known
from pricing.words.tokens import SAID, Table, Token, Tokens


def take_makers(
    tokens: Tokens, units: list[Any], fields: list[Field], tables: Table, own: Table
) -> None:
    """A known maker, a word after "maker" or "brand", or a name with a capital set apart."""
    starts = [one["start"] for one in units]
    mine = own.get("makers", {})
    for i in range(len(tokens)):
        one = tokens[i]
        if one["used"] != "" or one["n"] is not None:
            continue
        word = one["w"]
        before = tokens[i - 1]["w"] if i > 0 and one["stop"] == 0 else ""
        after = tokens[i + 1] if i + 1 < len(tokens) else None
        if after is not None and after["stop"] == 0 and after["w"] in tables["street"]:
            continue
        if word in mine or word in tables["makers"] or before in ("maker", "brand", "make"):
            told = before in ("maker", "brand", "make")
            ends = after is None or after["stop"] > 0 or i + 1 in starts or one["cap"]
            ice = i > 1 and tokens[i - 2]["w"] == "ice"
            if told and (not ends or known(word, tables) or ice):
                continue
            if told:
                tokens[i - 1]["used"] = "maker"
            one["used"] = "maker"
            fields.append(["maker", mine.get(word, one["t"]), i])
            continue
        brand = after is not None and after["w"] == "brand" and after["stop"] == 0
        brand = brand and before not in SAID["denies"]  # "dont kno brand"
        if brand and word.isalpha() and not known(word, tables):
            one["used"] = "maker"
            tokens[i + 1]["used"] = "maker"
            fields.append(["maker", one["t"], i])
            continue
        name = one["cap"] and word.isalpha() and not known(word, tables) and len(word) > 2
        ends = [said for said in SAID["no maker ends"] if word.endswith(said)]
        if not name or one["t"].isupper() or len(ends) > 0:
            continue  # "Stunning.", "Reversible."
        alone = (after is None or after["stop"] > 0) and (one["stop"] > 0)
        called = i > 0 and tokens[i - 1]["w"] in SAID["caller"]
        alone = alone and not one.get("bracket", False) and not called
        leads = i + 1 in starts and before in ("", "a", "my", "old", "an", "the", "-")
        if (alone or leads) and word not in tables["not_makers"]:
            one["used"] = "maker"
            fields.append(["maker", one["t"], i])


def take_own_features(tokens: Tokens, fields: list[Field], own: Table) -> None:
    """Features as the person's record names them."""
    for i in range(len(tokens)):
        size = listed_at(tokens, i, own.get("features", {}), 5)
        if size > 0 and tokens[i]["used"] == "":
            key = " ".join([one["w"] for one in tokens[i : i + size]])
            for j in range(i, i + size):
                tokens[j]["used"] = "feature"
            fields.append(["features", own["features"][key], i])


def take_place(tokens: Tokens, fields: list[Field], tables: Table) -> None:
    """Names of streets, and names with capitals after "near", "in", "off" …"""
    i = 0
    while i < len(tokens):
        one = tokens[i]
        if one["used"] != "" or one["n"] is not None:
            i += 1
            continue
        after = tokens[i + 1] if i + 1 < len(tokens) else None
        road = after["w"] if after is not None and after["stop"] == 0 else "way"
        street = road in tables["street"] and road not in ("way", "drive", "place")
        street = street and not known(one["w"], tables)
        before = tokens[i - 1]["w"] if i > 0 and one["stop"] == 0 else ""
        name = one["cap"] and before in SAID["place before"] and _name_like(one, tables)
        name = name or (_bracketed(tokens, i) and not known(one["w"], tables))
        name = name or _landmark(tokens, i, tables)
        if not street and not name:
            i += 1
            continue
        while street and i > 0 and tokens[i]["stop"] == 0 and _leads(tokens[i - 1]):
            i -= 1
        end = i + 1
        while end < len(tokens) and tokens[end]["stop"] == 0 and tokens[end]["used"] == "":
            w = tokens[end]["w"]
            if not (tokens[end]["cap"] or w in tables["street"] or w in SAID["place tail"]
                    or (tokens[end - 1]["w"] in ("&", "and") and tokens[end]["n"] is not None)
                    or w in ("th", "st", "nd", "rd")):  # fmt: skip
                break
            end += 1
        words = ""
        for j in range(i, end):
            glue = "" if words == "" or (tokens[j - 1]["n"] is not None) else " "
            words += glue + tokens[j]["t"]
            tokens[j]["used"] = "place"
        fields.append(["place", words, i])
        i = end


def _landmark(tokens: Tokens, i: int, tables: Table) -> bool:
    """ "Near the fairgrounds", "out by the feed store": a clause that only says where."""
    start = i
    while start > 0 and tokens[start]["stop"] == 0:
        start -= 1
    lead = " ".join([one["w"] for one in tokens[start:i]])
    rest = [one["w"] for one in tokens[i : i + 1 + len(words_after(tokens, i, 4))]]
    strange = [word for word in rest if not known(word, tables) and word.isalpha()]
    named = len(strange) > 0 and len(rest) < 4 and rest[0] != "the"
    return named and lead in SAID["landmark"]


def _leads(one: Token) -> bool:
    """ "Oak Ridge Rd": the name of a street in two words."""
    return bool(one["cap"] and one["used"] == "" and one["w"].isalpha())


def _bracketed(tokens: Tokens, i: int) -> bool:
    """ "$75 (Millbrook)": a name in brackets is the place of an ad."""
    if not (tokens[i].get("bracket", False) and tokens[i]["cap"] and tokens[i]["w"].isalpha()):
        return False
    rest = tokens[i + 1 : i + 1 + len(words_after(tokens, i, 4))]
    return len(rest) < 4 and len([one for one in rest if not one["cap"]]) == 0


def _name_like(one: Token, tables: Table) -> bool:
    named = one["w"] in tables["kinds"] or one["w"] in SAID["months"]
    return bool(one["w"].isalpha()) and not one["t"].isupper() and not named
