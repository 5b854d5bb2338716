"""One line as people say it -> what it says. `read` is the whole of it; all tables come as data.

What comes back is the object `heard` of every answer: read (fields), kinds (where the kind is left
open), units and each (several units), not_understood, asks_back, tags, read_as (typos mended).
"""

from __future__ import annotations

from typing import Any

from pricing.words.amounts import (
    FOR_ALL,
    FOR_EACH,
    begins_with,
    clause_words,
    has_phrase,
    money_role,
    says_free,
    take_numbers,
    take_years,
    words_after,
)
from pricing.words.kinds import mentions_of, units_of
from pricing.words.sayings import near_word, plain_words, ready, saying_at, stem
from pricing.words.tokens import Token, tokens_of
from pricing.words.troubles import (
    TOGETHER,
    UNTOLD,
    denied,
    findings_said,
    read_part,
    sign_fits,
    text_of,
    tidy_faults,
)

# What has been read as something else is no part of a fault.
GONE = ("type", "part", "idle", "tool", "place", "maker", "untold", "their_price", "money", "condition", "age")
Field = list[Any]  # [name, value, place of its token]
SPLIT = ("but", "except", "though", "although", "however", "otherwise", "cept")
SHARED = ("miles", "round_trip_miles", "drive_min", "stairs", "hours_ago", "place")


def read(
    text: str, moment: str, tables: dict[str, Any], own: dict[str, Any], year_now: int
) -> dict[str, Any]:
    """The whole line. moment: "offer", "bench" or "ask"; own: {"makers": {words: name}, "types":
    {…}, "faults": {…}} of the record and the settings; year_now: the year of the answer."""
    ready(tables)
    tokens = tokens_of(text)
    read_as = mend_typos(tokens, tables, own)
    forms = plain_words([one["w"] for one in tokens], tables)
    _codes_told(tokens, forms)
    fields: list[Field] = []
    take_numbers(tokens, tables["numbers"], moment, fields)
    take_years(tokens, fields, year_now)
    mentions = mentions_of(tokens, forms, tables, own)
    units = units_of(tokens, mentions, tables)
    units = pair_up(tokens, units, mentions)
    _smoke_free(tokens)
    _mark_mentions(tokens, mentions)
    take_makers(tokens, units, fields, tables, own)
    take_place(tokens, fields, tables)
    take_money(tokens, forms, moment, fields)
    take_said(tokens, forms, fields, moment, units, tables)
    heard_units = [_blank_unit(one, tables) for one in units]
    if len(heard_units) == 0:
        heard_units = [_blank_unit(None, tables)]
    give_fuel(tokens, units, heard_units, fields)
    parts = parts_of(tokens, mentions, units)
    for i in range(len(tokens)):
        if tokens[i]["used"] in GONE:
            forms[i] = ""
    read_troubles(tokens, forms, parts, heard_units, moment, tables, own)
    tags = tags_of(tokens, forms, parts, heard_units, tables)
    fields = [f for f in fields if f[0] != "features" or not _spoilt(tokens, parts, f[2])]
    if moment == "bench":
        fields = [f for f in fields if f[0] not in ("volts",)]
    answer = gathered(tokens, units, heard_units, fields, moment, tables)
    answer["not_understood"] = left_over(tokens, forms, parts, tables)
    answer["asks_back"] = asks(tokens, answer, fields, moment, units)
    answer["tags"] = tags
    answer["read_as"] = read_as
    return answer


def _spoilt(tokens: list[Token], parts: list[dict[str, Any]], i: int) -> bool:
    """Whether a feature stands in a part that tells a fault ("ice maker doesn't work")."""
    for part in parts:
        if part["start"] <= i < part["end"]:
            first = tokens[part["start"]]["w"]
            return bool(part.get("fault", False)) or first in ("except", "cept")
    return False


def _smoke_free(tokens: list[Token]) -> None:
    """"Smoke free, pet free home" is nobody's fault."""
    for i in range(1, len(tokens)):
        if tokens[i]["w"] == "free" and tokens[i - 1]["w"] in ("smoke", "pet", "odor", "bug"):
            tokens[i]["used"] = "idle"
            tokens[i - 1]["used"] = "idle"


def _codes_told(tokens: list[Token], forms: list[str]) -> None:
    """A code such as E21, F7, i30 reads as the words "error code"."""
    for i in range(len(tokens)):
        word = tokens[i]["w"]
        if tokens[i]["n"] is None and 2 <= len(word) <= 4 and word[0] in "efiuld":
            if word[len(word) - 1] in "0123456789" and word[1:2] in "0123456789er":
                tokens[i]["w"] = "error code"
                forms[i] = "error cod"


# ---- typos
def mend_typos(tokens: list[Token], tables: dict[str, Any], own: dict[str, Any]) -> list[Any]:
    """Words one slip away from a known one are read as it; what was done comes back."""
    done: list[Any] = []
    for one in tokens:
        word = one["w"]
        if one["n"] is not None or len(word) < 4 or word in own.get("makers", {}):
            continue
        if word in tables["typos"]:
            one["w"] = tables["typos"][word]
            done.append({"said": one["t"], "read": one["w"]})
            continue
        if known(word, tables) or word in tables["makers"] or not word.isalpha():
            continue
        if one["cap"] and not one["t"].isupper():
            continue
        near = near_word(stem(word), tables)
        if near == "":
            near = near_word(word, tables)
        if near != "":
            one["w"] = near
            done.append({"said": one["t"], "read": near})
    return done


def known(word: str, tables: dict[str, Any]) -> bool:
    """Whether the word is in any table."""
    if word in tables["idle_words"] or word in tables["same"] or word in tables["filler"]:
        return True
    if "known_words" not in tables:
        tables["known_words"] = _known_words(tables)
    return word in tables["known_words"] or stem(word) in tables["known_words"]


def _known_words(tables: dict[str, Any]) -> dict[str, bool]:
    words: dict[str, bool] = {}
    for key in tables["sayings"]:
        for word in key.split(" "):
            words[word] = True
    for goods in tables["other_goods"]:
        for word in goods.split(" "):
            words[word] = True
    for row in tables["numbers"]:
        for choice in row[3]:
            for word in choice.split("|"):
                words[word.replace("?", "")] = True
    for row in tables["signs"]:
        for group in row[1]:
            for choice in group:
                for word in choice.split(" "):
                    words[word] = True
    for lists in ("street", "not_makers", "colors"):
        for word in tables.get(lists, []):
            words[word] = True
    return words


# ---- units
def pair_up(tokens: list[Token], units: list[Any], mentions: list[Any]) -> list[Any]:
    """A washer and a dryer named in one breath ("front load washer and electric dryer set") are a
    pair, where no "a" stands before the second."""
    out: list[Any] = []
    k = 0
    while k < len(units):
        one = units[k]
        after = units[k + 1] if k + 1 < len(units) else None
        pair = _pair(tokens, one, after) if after is not None else ""
        if pair != "" and after is not None:
            for mention in mentions:
                if mention["unit"] == k + 1:
                    mention["unit"] = k
                    if mention is after:
                        mention["part"] = "pair"
                elif mention["unit"] > k + 1:
                    mention["unit"] -= 1
            one["type"] = pair
            one["fuel"] = after["type"].split(" ")[0] if after["type"] != "dryer" else ""
            out.append(one)
            k += 2
            continue
        out.append(one)
        k += 1
    for place in range(len(out)):
        out[place]["unit"] = place
    return out


def _pair(tokens: list[Token], one: Any, after: Any) -> str:
    washers = {
        "top-load washer": "top-load washer + dryer pair",
        "front-load washer": "front-load washer + dryer pair",
        "washer": "washer + dryer pair",
    }
    if one["type"] not in washers or after["type"] not in ("dryer", "electric dryer", "gas dryer"):
        return ""
    between = [t["w"] for t in tokens[one["end"] : after["start"]]]
    if len(between) > 3 or "a" in between or "an" in between or after["count"] > 1:
        return ""
    if after["start"] < len(tokens) and tokens[after["start"]]["stop"] > 0:
        return ""
    joined = [w for w in between if w in ("and", "&", "+", "/", "with", "plus")]
    return washers[one["type"]] if len(joined) > 0 else ""


def _mark_mentions(tokens: list[Token], mentions: list[Any]) -> None:
    for one in mentions:
        for i in range(one["start"], one["end"]):
            if one["part"] in ("", "pair", "narrow"):
                tokens[i]["used"] = "type" if tokens[i]["used"] != "size" else "size"
            elif one["part"] == "same":
                tokens[i]["part"] = "same"
            elif one["part"] == "tool":
                tokens[i]["used"] = "tool"
            elif one["part"] in ("washer", "dryer", "microwave"):
                tokens[i]["used"] = "part"
            else:
                tokens[i]["part"] = one["part"]
        if one["count"] > 1 and one["part"] == "":
            j = one["start"] - 1
            while j >= 0 and tokens[j]["n"] is None:
                j -= 1
            if j >= 0:
                tokens[j]["used"] = "units"


def _blank_unit(one: Any, tables: dict[str, Any]) -> dict[str, Any]:
    name = one["type"] if one is not None else ""
    goods = one is not None and one["goods"]
    plain = name in tables["kinds"]
    kinds = tables["kinds"][name] if plain else [name]
    families: list[str] = []
    for kind in kinds:
        for family in tables["families"].get(kind, []):
            if family != "none" and family not in families:
                families.append(family)
    return {
        "type": name,
        "goods": goods,
        "plain": plain,
        "families": families,
        "sides": [] if goods else list(tables["sides"].get(name, [])),
        "faults": [],
        "found": "",
        "repair": [],
    }


def give_fuel(
    tokens: list[Token], units: list[Any], heard: list[dict[str, Any]], fields: list[Field]
) -> None:
    """Gas or electric, said in the name or beside it, narrows the faults of its unit."""
    for k in range(len(units)):
        one = heard[k]
        if one["goods"]:
            continue
        if units[k].get("fuel", "") != "":
            fields.append(["fuel", units[k]["fuel"], units[k]["start"]])
        for i in range(units[k]["start"], units[k]["end"]):
            word = tokens[i]["w"]
            load = word in ("top", "front") and i + 1 < len(tokens)
            if load and tokens[i + 1]["w"].startswith("load") and one["type"].startswith("comm"):
                one["sides"] = [*one["sides"], word + "-load"]
            fuel = "gas" if word in ("gas", "propane", "lp") else ""
            fuel = "electric" if word in ("electric", "elec") else fuel
            if fuel != "" and "gas" not in one["sides"] and "electric" not in one["sides"]:
                fields.append(["fuel", fuel, i])
    for field in fields:
        if field[0] != "fuel":
            continue
        at = unit_at(field[2], units)
        one = heard[at]
        if "gas" not in one["sides"] and "electric" not in one["sides"]:
            one["sides"] = [*one["sides"], "gas" if field[1] == "propane" else field[1]]
            if one["type"] == "dryer":
                one["type"] = one["sides"][-1] + " dryer"
                one["plain"] = False
            elif one["type"] == "range":
                one["type"] = "gas range" if one["sides"][-1] == "gas" else "electric range"
                one["plain"] = one["type"] == "electric range"
            elif one["type"] == "cooktop":
                one["type"] = one["sides"][-1] + " cooktop"
                one["plain"] = False
        elif field[1] in one["sides"] or field[1] == "propane":
            field[0] = "fuel said"


def unit_at(i: int, units: list[Any]) -> int:
    """The place of the unit whose words token i belongs to: the last one named before it."""
    at = 0
    for k in range(len(units)):
        if units[k]["start"] <= i:
            at = k
    return at


# ---- makers and places
def take_makers(
    tokens: list[Token],
    units: list[Any],
    fields: list[Field],
    tables: dict[str, Any],
    own: dict[str, Any],
) -> None:
    """A known maker, a word after "maker" or "brand", or a name with a capital right before the
    appliance or alone between two stops."""
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
            if told and (not ends or known(word, tables) or (i > 1 and tokens[i - 2]["w"] == "ice")):
                continue
            if told:
                tokens[i - 1]["used"] = "maker"
            one["used"] = "maker"
            fields.append(["maker", mine.get(word, one["t"]), i])
            continue
        name = one["cap"] and word.isalpha() and not known(word, tables) and len(word) > 2
        if not name or one["t"].isupper():
            continue
        alone = (after is None or after["stop"] > 0) and (one["stop"] > 0)
        leads = i + 1 in starts and before in ("", "a", "my", "old", "an", "the", "-")
        if (alone or leads) and word not in tables["not_makers"]:
            one["used"] = "maker"
            fields.append(["maker", one["t"], i])


PLACE_BEFORE = ("near", "off", "in", "at", "on", "by", "of", "over", "from", "around", "to")


def take_place(tokens: list[Token], fields: list[Field], tables: dict[str, Any]) -> None:
    """Names of streets, and names with capitals after "near", "in", "off" …"""
    i = 0
    while i < len(tokens):
        one = tokens[i]
        if one["used"] != "" or one["n"] is not None:
            i += 1
            continue
        after = tokens[i + 1] if i + 1 < len(tokens) else None
        street = (
            after is not None
            and after["stop"] == 0
            and after["w"] in tables["street"]
            and after["w"] not in ("way", "drive", "place")
            and not known(one["w"], tables)
        )
        before = tokens[i - 1]["w"] if i > 0 and one["stop"] == 0 else ""
        name = one["cap"] and before in PLACE_BEFORE and _name_like(one, tables)
        if not street and not name:
            i += 1
            continue
        end = i + 1
        while end < len(tokens) and tokens[end]["stop"] == 0 and tokens[end]["used"] == "":
            w = tokens[end]["w"]
            if not (tokens[end]["cap"] or w in tables["street"] or w in PLACE_TAIL
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


PLACE_TAIL = ("&", "and", "by", "the", "water", "tower", "near", "behind", "across", "corner")


def _name_like(one: Token, tables: dict[str, Any]) -> bool:
    return bool(one["w"].isalpha()) and not one["t"].isupper() and not (
        one["w"] in tables["kinds"] or one["w"] in MONTHS
    )


MONTHS = (
    "january february march april may june july august september october november december monday"
    " tuesday wednesday thursday friday saturday sunday mon tue wed thu fri sat sun i"
).split(" ")


# ---- money
PRICE_BEFORE = (
    "wants|want|wanting|asking|asks|ask|price|priced at|asking price|takes|take|for only|only|firm at"
    "|selling for|sell for|for sale|down to|says|yours for|have it for|have it at|listed at|listed"
    "|listed for|wants only|said|they want|let it go for|go for|at"
).split("|")
PRICE_AFTER = (
    "firm|obo|o b o|or best|or best offer|takes it|takes both|takes all|takes them|for both|for all"
    "|for the pair|for the two|for the lot|for everything|for the set|each|apiece|a piece|cash"
    "|delivered|to haul|to have|to take|and its yours|and it's yours|gets it|get it|the lot|ono"
    "|takes the lot|or nearest offer|or trade|for it|as is|and it is yours|to get rid|for removal"
    "|for them"
).split("|")
SALE_NEAR = (
    "listed|asking|up at|up for|ad says|offered|offers|offer|bid|bids|bidding|thinking|guess"
    "|guessing|figure|i say|i think|hoping|give me|would you do|will you take|says|buyer at|worth"
    "|think|maybe|he'll give|come down to|list at|gives|counter|said"
).split("|")


def is_money(tokens: list[Token], i: int, moment: str) -> bool:
    """Whether a number without a sign is an amount of money, by the words beside it."""
    one = tokens[i]
    if one["money"] != "" or one.get("hundreds", False):
        return True
    before = clause_words(tokens, i, 4)
    after = words_after(tokens, i, 4)
    if begins_with(after, PRICE_AFTER):
        return True
    for size in (1, 2, 3):
        if len(before) >= size and " ".join(before[-size:]) in PRICE_BEFORE:
            return moment != "bench"
    if has_phrase(before, ["pay", "pays"]) and moment == "offer":
        return True
    if moment == "ask":
        found = has_phrase(before, SALE_NEAR)
        return found or begins_with(after, ["offered", "bid", "is all", "cash", "and picks", "if i"])
    if begins_with(after, ["part", "parts", "in parts", "for the part", "in it", "into it"]):
        return True
    return has_phrase(before[-2:], ["parts", "part"]) and one["stop"] == 0


def take_money(
    tokens: list[Token], forms: list[str], moment: str, fields: list[Field]
) -> None:
    """Prices and what they are for; "free" and "they pay"."""
    for i in range(len(tokens)):
        one = tokens[i]
        if one["n"] is None or one["used"] != "" or not is_money(tokens, i, moment):
            continue
        if _range_of_two(tokens, i):
            continue
        role = money_role(tokens, i, moment)
        if role == "open":
            one["used"] = "open"
            fields.append(["open", one["n"], i])
            continue
        one["used"] = role
        value = one["n"]
        if role == "pays":
            role = "their_price"
            value = -value
        if role != "no":
            fields.append([role, value, i])
            _mark_money_words(tokens, i)
            fields.append([_for_whom(tokens, i), role, i])
    _second_amount(tokens, moment, fields)
    if moment != "offer":
        return
    for i in range(len(tokens)):
        if tokens[i]["w"] == "free" and tokens[i]["used"] == "" and says_free(tokens, i):
            tokens[i]["used"] = "their_price"
            fields.append(["free", 0.0, i])
            fields.append([_for_whom(tokens, i), "free", i])


def _second_amount(tokens: list[Token], moment: str, fields: list[Field]) -> None:
    """"listed 160 and 90": the number after "and" is of the same sort."""
    for field in list(fields):
        if field[0] not in ("asked_now", "offered", "their_price"):
            continue
        i = field[2] + 2
        if i < len(tokens) and tokens[i]["n"] is not None and tokens[i]["used"] == "":
            if tokens[i - 1]["w"] in ("and", "&") and tokens[i]["stop"] == 0:
                tokens[i]["used"] = field[0]
                fields.append([field[0], tokens[i]["n"], i])


def _range_of_two(tokens: list[Token], i: int) -> bool:
    """"40 to 60": the price stays open."""
    for step in (2, -2):
        j = i + step
        if 0 <= j < len(tokens) and tokens[j]["n"] is not None:
            middle = tokens[i + 1 if step > 0 else i - 1]["w"]
            if middle in ("to", "-", "or") and tokens[j]["used"] in ("", "open"):
                return True
    return False


def _mark_money_words(tokens: list[Token], i: int) -> None:
    j = i
    while j > 0 and j > i - 3 and tokens[j]["stop"] == 0:
        j -= 1
        if tokens[j]["w"] in MONEY_WORDS and tokens[j]["used"] == "":
            tokens[j]["used"] = "money"
    j = i + 1
    while j < len(tokens) and j < i + 5 and tokens[j]["stop"] == 0:
        if tokens[j]["w"] in MONEY_WORDS and tokens[j]["used"] == "":
            tokens[j]["used"] = "money"
        j += 1


MONEY_WORDS = (
    "wants want wanting asking asks ask price priced takes each apiece both all pair lot part parts"
    " for pay pays paying removal delivered cash offered offers offer bid bids listed guess thinking"
    " figure bucks piece worth about runs costs cost"
).split(" ")


def _for_whom(tokens: list[Token], i: int) -> str:
    after = words_after(tokens, i, 4)
    before = clause_words(tokens, i, 2)
    if begins_with(after, FOR_EACH):
        return "for each"
    if begins_with(after, FOR_ALL) or has_phrase(before, ["both for", "all for"]):
        return "for all"
    return "for one"


# ---- single words and sayings that are fields
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
    no = len(before) > 0 and before[-1] in ("not", "no", "without") and forms[i] not in ("not", "no")
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
        if no:
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
    " really pretty so with color colour finish one"
).split(" ")


def _by_type(tokens: list[Token], i: int, end: int, starts: list[int]) -> bool:
    if i > 0 and tokens[i - 1]["used"] == "type" and tokens[i]["stop"] == 0:
        return True
    after = end < len(tokens) and tokens[end]["stop"] == 0
    return after and (tokens[end]["used"] == "type" or tokens[end]["w"] in ("one", "condition"))


def _plainly(
    kind: str, tokens: list[Token], forms: list[str], i: int, end: int, starts: list[int]
) -> bool:
    """A colour or fuel counts alone, beside the type, or before "color"; not in "black mold"."""
    if _alone(tokens, forms, i, end):
        return True
    after = tokens[end] if end < len(tokens) and tokens[end]["stop"] == 0 else None
    if after is not None and (after["used"] in ("type", "maker") or after["w"] in ("color", "finish")):
        return kind != "fuel" or end in starts
    before = tokens[i - 1] if i > 0 and tokens[i]["stop"] == 0 else None
    if before is None or before["used"] not in ("type", "finish") or kind != "finish":
        return False
    return after is None or after["used"] != "" or after["n"] is not None


# ---- parts of the line
def parts_of(tokens: list[Token], mentions: list[Any], units: list[Any]) -> list[dict[str, Any]]:
    """The line cut at stops and at "but", "except" …: {start, end, unit, part: family or ""}."""
    cuts = [0]
    named = [one["start"] for one in units[1:]]
    for i in range(1, len(tokens)):
        if tokens[i]["stop"] > 0 or tokens[i]["w"] in SPLIT or i in named:
            if cuts[-1] != i:
                cuts.append(i)
    cuts.append(len(tokens))
    parts: list[dict[str, Any]] = []
    for k in range(len(cuts) - 1):
        if cuts[k] == cuts[k + 1]:
            continue
        part = {"start": cuts[k], "end": cuts[k + 1], "unit": unit_at(cuts[k], units), "part": ""}
        for one in mentions:
            if cuts[k] <= one["start"] < cuts[k + 1]:
                if one["part"] not in ("", "same", "pair", "tool"):
                    part["part"] = one["part"] if part["part"] == "" else "both"
                if one["part"] != "tool":
                    part["unit"] = one["unit"]
        if part["part"] == "" and len(parts) > 0 and tokens[cuts[k]]["stop"] == 0:
            part["part"] = parts[-1]["part"]
        if len(parts) > 0 and part["unit"] < parts[-1]["unit"] and not _named_in(mentions, part):
            part["unit"] = parts[-1]["unit"]
        parts.append(part)
    return parts


def _named_in(mentions: list[Any], part: dict[str, Any]) -> bool:
    for one in mentions:
        if part["start"] <= one["start"] < part["end"]:
            return True
    return False


# ---- faults, findings, repairs
TELLING = ("told", "says", "said", "customer", "owner", "complaint")
DOING = ("new", "replaced", "replace", "installed", "changed", "fresh", "rebuilt", "waiting", "swapped",
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
    last: list[list[Any]] = [[] for _ in units]
    for k in range(len(parts)):
        part = parts[k]
        unit = units[part["unit"]]
        looked = _looking(unit, part["part"])
        if unit["type"] == "":
            continue
        before = last[part["unit"]]
        joins = moment == "bench" and unit["found"] == "" and len(
            _joined_with_last(tokens, forms, part, before, looked, tables)
        ) > 0  # fmt: skip
        if moment != "offer" and not joins and _findings(tokens, forms, part, looked, unit, named, moment, tables):
            last[part["unit"]] = []
            continue
        got = read_cut(tokens, forms, part, looked, tables)
        if moment == "bench" and len(named[part["unit"]]) > 0:
            got["names"] = [n for n in got["names"] if n[0] != "danger" and n[1] != WORKS_NAME]
            if unit["found"] != "":
                got["names"] = []
        _mark(tokens, got["spans"])
        part["fault"] = len([n for n in got["names"] if n[1] not in HARMLESS]) > 0
        joined = _joined_with_last(tokens, forms, part, last[part["unit"]], looked, tables)
        joined = [name for name in joined if name not in got["names"]]
        if len(joined) > 0:
            for name in last[part["unit"]][1]:
                if name in named[part["unit"]]:
                    named[part["unit"]].remove(name)
            got["names"] = joined
            _mark(tokens, [[part["start"], part["end"]]])
            _mark(tokens, [[last[part["unit"]][0], part["start"]]])
        named[part["unit"]] += got["names"]
        start = part["start"] if len(joined) == 0 else last[part["unit"]][0]
        last[part["unit"]] = [start, got["names"], looked["families"]]
        words = [one["w"] for one in tokens[part["start"] : part["end"]]]
        if len(units) > 1 and len([w for w in words if w in ("both", "neither", "none")]) > 0:
            for j in range(len(units)):
                if j != part["unit"]:
                    named[j] += [n for n in got["names"] if n[0] == "any"]
    for k in range(len(units)):
        units[k]["faults"] = tidy_faults(named[k], [], units[k]["sides"])
        if units[k]["goods"] or (units[k]["type"] != "" and len(units[k]["families"]) == 0):
            if units[k]["type"] != "laundry pedestal":
                units[k]["faults"] = goods_fault(tokens, forms, parts, k, units[k]["faults"], tables)


WORKS_NAME = "works; owner upgraded"
HARMLESS = (WORKS_NAME, "dents or scratches only", "nothing said", "worked when stored")


def goods_fault(
    tokens: list[Token],
    forms: list[str],
    parts: list[dict[str, Any]],
    k: int,
    faults: list[str],
    tables: dict[str, Any],
) -> list[str]:
    """A thing of another trade keeps the words of its fault as they were said."""
    if len(faults) > 0 and faults[0] == WORKS_NAME:
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


def read_cut(
    tokens: list[Token],
    forms: list[str],
    part: dict[str, Any],
    unit: dict[str, Any],
    tables: dict[str, Any],
) -> dict[str, Any]:
    """A part as a whole, or its two halves at "and" where both say something of their own."""
    whole = read_part(tokens, forms, part["start"], part["end"], unit, tables)
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


FINE = ("run", "ok", "good", "fin", "work", "okay", "spin", "check", "test")


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
    return hit[3] <= 2 and forms[hit[0]] not in ("not", "no") and denied(
        forms, hit[0], part["start"]
    )


ACTIONS = ("cleaned", "reset", "leveled", "coils cleaned", "vent cleared", "hose cleared",
           "drain cleared", "burner cleaned", "arms and filter cleaned", "air filter cleaned",
           "pump filter cleared", "inlet screens cleaned", "fill tube thawed",
           "foreign object removed")  # fmt: skip


def _keep_finding(name: str, unit: dict[str, Any], doing: bool, moment: str) -> None:
    if moment == "ask":
        if name not in unit["repair"] and not (name == "cleaned" and not doing and False):
            unit["repair"].append(name)
        return
    if unit["found"] == "":
        unit["found"] = name
    elif name == "cleaned" and unit["found"].endswith("sensor"):
        unit["repair"].append(name)
    elif name != unit["found"] and doing and name not in unit["repair"]:
        unit["repair"].append(name)


# ---- dangers
def tags_of(
    tokens: list[Token],
    forms: list[str],
    parts: list[dict[str, Any]],
    units: list[dict[str, Any]],
    tables: dict[str, Any],
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
        if unit["type"] in tables["refused_goods"] or unit["type"] in ("water heater", "garbage disposer"):
            if "refused" not in tags:
                tags.append("refused")
        broken = [n for n in unit["faults"] if n not in (WORKS_NAME, UNTOLD, "light out")]
        if "microwave" in unit["families"] and len(broken) > 0 and "microwave" not in tags:
            if len(unit["families"]) == 1 or len([n for n in broken if n in MICROWAVE]) > 0:
                tags.append("microwave")
    for part in parts:
        text = text_of(tokens, forms, part["start"], part["end"], [])
        _tag(without(text), tags, tables)
    whole = text_of(tokens, forms, 0, len(tokens), [])
    for row in tables["tag_signs"]:
        if row[0] in ("tip-over", "child entrapment", "live 240 V", "hot water", "move", "gas"):
            if row[0] not in tags and sign_fits(whole, row[1], row[2]) and row[0] != "gas":
                tags.append(row[0])
    return tags


MICROWAVE = ("runs but no heat", "loud hum", "stops after seconds", "buttons dead",
             "runs by itself or with the door open", "door or latch broken")  # fmt: skip


def without(text: str) -> str:
    """One word after "no" or "without" taken out: "no mold" is no danger."""
    out = " "
    skip = False
    for word in text.strip().split(" "):
        if skip:
            skip = False
            continue
        out += word + " "
        skip = word in ("no", "without", "never")
    return out


def _tag(text: str, tags: list[str], tables: dict[str, Any]) -> None:
    for row in tables["tag_signs"]:
        if row[0] not in tags and sign_fits(text, row[1], row[2]):
            tags.append(row[0])


# ---- the answer
UNIT_FIELDS = ("maker", "age", "made", "condition", "features", "fuel", "finish", "size", "volts")
MONEY_FIELDS = ("their_price", "parts", "spent_money", "offered", "asked_now", "mine")


def gathered(
    tokens: list[Token],
    units: list[Any],
    heard: list[dict[str, Any]],
    fields: list[Field],
    moment: str,
    tables: dict[str, Any],
) -> dict[str, Any]:
    """`read`, `kinds`, `units`, `each` from what was found."""
    whole: dict[str, Any] = {}
    count = len(units)
    if count == 1 and units[0]["count"] > 1:
        heard = counted(tokens, units[0], heard[0], fields)
        count = len(heard)
    if count <= 1:
        one = heard[0]
        for field in fields:
            put(whole, field, tokens)
        unit_into(whole, one, tables)
        answer: dict[str, Any] = {"read": whole}
        if one["plain"]:
            answer["kinds"] = kinds_of(one, tables)
        return answer
    each: list[dict[str, Any]] = [{} for _ in range(count)]
    several(tokens, units, fields, whole, each)
    for k in range(count):
        unit_into(each[k], heard[k], tables)
        if heard[k]["plain"]:
            each[k]["kinds"] = kinds_of(heard[k], tables)
    return {"read": whole, "units": count, "each": each}


def kinds_of(one: dict[str, Any], tables: dict[str, Any]) -> list[str]:
    return list(tables["kinds"][one["type"]])


def unit_into(target: dict[str, Any], one: dict[str, Any], tables: dict[str, Any]) -> None:
    if one["type"] != "" and not one["plain"]:
        target["type"] = one["type"]
    if len(one["faults"]) == 1:
        target["fault"] = one["faults"][0]
    elif len(one["faults"]) > 1:
        target["faults"] = list(one["faults"])
    if one["found"] != "":
        target["found"] = one["found"]
    if len(one["repair"]) > 0:
        target["repair"] = list(one["repair"])


def put(target: dict[str, Any], field: Field, tokens: list[Token]) -> None:
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
    elif name == "km":
        target.setdefault("km", value)
    elif name == "round_miles":
        target.setdefault("round_trip_miles", value)
    elif name == "made":
        years = [int(y) for y in value]
        target.setdefault("made", years)
    elif name == "fuel":
        target.setdefault("fuel", "gas" if value == "propane" else value)
    elif name in READ_NAMES:
        target.setdefault(name, value)


READ_NAMES = ("maker", "age", "condition", "finish", "size", "their_price", "firm", "or_best_offer",
              "offered", "asked_now", "mine", "price", "miles", "drive_min", "stairs", "hours_ago",
              "place", "parts", "hours", "spent_money", "spent_hours", "fix_chance", "round_km")  # fmt: skip


def _lone(tokens: list[Token], i: int) -> bool:
    after = tokens[i + 1] if i + 1 < len(tokens) else None
    return tokens[i]["stop"] > 0 and (after is None or after["stop"] > 0)


def several(
    tokens: list[Token],
    units: list[Any],
    fields: list[Field],
    whole: dict[str, Any],
    each: list[dict[str, Any]],
) -> None:
    """Which field is of which unit: by the words it stands among; a price for all, the way and the
    stairs are shared, and what follows a price for all is of all."""
    prices = [f for f in fields if f[0] in ("their_price", "free", "offered", "asked_now")]
    for_all = [f[2] for f in fields if f[0] == "for all"]
    for_each = [f[2] for f in fields if f[0] == "for each"]
    counted_units = len(each) > len(units)
    seen: dict[str, int] = {}
    for field in fields:
        name, at = field[0], field[2]
        k = unit_at(at, units)
        same = [f for f in fields if f[0] == name]
        if counted_units and len(same) == len(each) and name not in ("for one", "features"):
            seen[name] = seen.get(name, -1) + 1
            put(each[seen[name]], field, tokens)
            continue
        both = has_phrase(words_after(tokens, at, 2) + clause_words(tokens, at, 2), ["both", "all"])
        shared = name in SHARED or name in ("km", "round_km", "round_miles", "firm", "or_best_offer")
        if name in ("their_price", "free", "offered", "asked_now"):
            if at in for_each:
                for one in each:
                    put(one, field, tokens)
                continue
            shared = at in for_all or (len(prices) == 1 and (k == len(units) - 1 or counted_units))
        elif name in UNIT_FIELDS:
            after_all = len(for_all) > 0 and at > max(for_all)
            after_all = after_all or (name == "maker" and k == len(units) - 1 and _lone(tokens, at))
            if both or after_all or counted_units or at < units[0]["start"] - 6:
                if name == "age" and not counted_units:
                    put(whole, field, tokens)
                    continue
                for one in each:
                    put(one, field, tokens)
                continue
            if name == "maker" and at < units[k]["start"] and k == 0:
                k = 0
        if shared:
            put(whole, field, tokens)
        elif name in ("maker", "finish", "condition", "size", "fuel") and at + 1 < len(tokens):
            nxt = k + 1
            close = nxt < len(units) and units[nxt]["start"] - at <= 2
            put(each[nxt if close and tokens[units[nxt]["start"]]["stop"] == 0 else k], field, tokens)
        else:
            put(each[k], field, tokens)


def counted(
    tokens: list[Token], unit: Any, one: dict[str, Any], fields: list[Field]
) -> list[dict[str, Any]]:
    """"two dryers, one no heat, one squeals": a copy each; faults in turn where there are as many."""
    count = unit["count"]
    out: list[dict[str, Any]] = []
    conditions = [f for f in fields if f[0] == "condition"]
    for k in range(count):
        copy = dict(one)
        if len(one["faults"]) == count and count > 1:
            copy["faults"] = [one["faults"][k]]
        if len(conditions) == count:
            copy["condition"] = conditions[k][1]
        out.append(copy)
    return out


# ---- what is left
def left_over(
    tokens: list[Token], forms: list[str], parts: list[dict[str, Any]], tables: dict[str, Any]
) -> list[str]:
    """Stretches of words that were not used and are not known to mean nothing."""
    out: list[str] = []
    for part in parts:
        words: list[str] = []
        counts = 0
        deny = False
        for i in range(part["start"], part["end"]):
            one = tokens[i]
            free = one["used"] in ("", "open") and not (one.get("soft", False) and one["n"] is None)
            free = free and one.get("part", "") == ""
            idle = one["n"] is None and (
                one["w"] in tables["idle_words"] or len(one["w"]) < 2 or one["w"] in tables["filler"]
            )
            if free and forms[i] in ("not", "no") and one["n"] is None:
                deny = True
            if free and (not idle or deny):
                words.append(one["t"])
                counts += 0 if idle else 1
            elif free and idle and len(words) > 0:
                words.append(one["t"])
            elif not free:
                if counts > 0 or (deny and len(words) > 1):
                    out.append(" ".join(words))
                words = []
                counts = 0
                deny = False
        if counts > 0 or (deny and len(words) > 1):
            out.append(" ".join(words))
    return out


def asks(
    tokens: list[Token], answer: dict[str, Any], fields: list[Field], moment: str, units: list[Any]
) -> list[str]:
    """The fields to ask about before a number may count."""
    names = [field[0] for field in fields]
    out: list[str] = []
    if len(units) == 0:
        out.append("type")
    read_now = answer["read"]
    bare = [one for one in tokens if one["n"] is not None and one["used"] in ("", "open")
            and one["w"] != "one"]  # fmt: skip
    priced = "their_price" in read_now or "free" in names
    if moment == "offer":
        if len(bare) > 0 and not priced and "each" not in answer:
            out.append("their_price")
        elif len(bare) > 0:
            out += [name for name in ("age", "miles") if name not in names]
        if "noprice" in names and not priced and "their_price" not in out:
            out.append("their_price")
    elif moment == "ask" and len(bare) > 0:
        out.append("asked_now")
    elif moment == "bench" and len(bare) > 0:
        out.append("parts")
    if "owned" in names and "age" not in names and "made" not in names:
        out.append("age")
    return out
