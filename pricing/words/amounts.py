"""What each number of a line means, by the words around it; one left open is asked about."""

from typing import Any

from pricing.words.digits import DIGITS
from pricing.words.tokens import SAID, Token, Tokens

# ---- words around a price


def clause_words(tokens: Tokens, i: int, back: int) -> list[str]:
    """The words just before token i, nearest last, not past a stop."""
    found: list[str] = []
    j = i
    while j > 0 and len(found) < back and tokens[j]["stop"] == 0:
        j -= 1
        found = [tokens[j]["w"], *found]
    return found


def words_after(tokens: Tokens, i: int, ahead: int) -> list[str]:
    """The words just after token i, not past a stop."""
    found: list[str] = []
    j = i + 1
    while j < len(tokens) and len(found) < ahead and tokens[j]["stop"] == 0:
        found.append(tokens[j]["w"])
        j += 1
    return found


def _fits(pattern: list[str], tokens: Tokens, start: int) -> int:
    """How many tokens from start the pattern covers; 0 where it does not fit."""
    i = start
    for k in range(len(pattern)):
        choices = pattern[k]
        optional = choices[0] == "?" and choices != "?"
        if optional:
            choices = choices[1:]
        one = tokens[i] if i < len(tokens) else None
        fits = one is not None and (i == start or one["stop"] == 0)
        if fits and one is not None:
            number = one["n"] is not None
            said = ("|" + choices + "|").find("|" + one["w"] + "|") >= 0
            fits = (number and one["used"] == "") if choices == "#" else said
        if fits:
            i += 1
        elif not optional:
            return 0
    return i - start


def take_numbers(tokens: Tokens, patterns: list[list[Any]], moment: str, found: list[Any]) -> None:
    """Give each number that a pattern explains its role; `found` gathers the fields."""
    _month_years(tokens, found)
    for i in range(len(tokens)):
        one = tokens[i]
        if one["n"] is None or one["used"] != "":
            continue
        for row in patterns:
            role, factor, when, pattern, before = row
            if when != "" and when.find(moment[0]) < 0:
                continue
            if i < before or (one["money"] != "" and role not in ("parts", "money")):
                continue
            if role == "made" and not (1930 <= one["n"] <= 2100):
                continue
            wanted = i > 0 and one["stop"] == 0 and tokens[i - 1]["w"] in SAID["wanted"]
            if role == "no" and (wanted or _too_many(tokens, i)):
                continue
            if role == "size" and not _a_size(tokens, i):
                continue
            if role == "days_listed" and not _on_market(tokens, i):
                continue
            if role == "floor_nd" and not _a_floor(tokens, i):
                continue
            size = _fits(pattern, tokens, i - before)
            said = [one["n"] for one in tokens[i : i + size] if one["n"] is not None]
            if role == "odds" and (sum(said) != 100 or len(said) < 2):
                continue  # "70-30", "fifty fifty"
            if size > before:
                _give([role, moment], factor, tokens, i - before, size, i, found)
                break


def _month_years(tokens: Tokens, found: list[Any]) -> None:
    """ "6/2015", "03-12-2018", "2014/05": the year of a date before now is the year made."""
    for i in range(len(tokens) - 2):
        year = _year_of_date(tokens, i)
        if year == 0:
            continue
        start = i - 2 if i > 1 and _apart_at(tokens, i - 1) and tokens[i - 2]["n"] else i
        for one in tokens[start : i + 3]:
            one["used"] = "made"
        for one in tokens[max(start - 2, 0) : start]:
            one["used"] = "made" if one["w"] in SAID["made on"] else one["used"]
        found.append(["made", [year], i + 2])


def _apart_at(tokens: Tokens, i: int) -> bool:
    return tokens[i]["w"] in ("/", "-") and bool(tokens[i]["stop"] == 0)


def _year_of_date(tokens: Tokens, i: int) -> float:
    """The year of "6/2015" or "2015/6" at a number; 0 for none."""
    first, last = tokens[i]["n"], tokens[i + 2]["n"]
    if first is None or last is None or not _apart_at(tokens, i + 1):
        return 0.0
    if len(tokens[i]["t"]) == 4 and 1980 <= first <= 2100 and last <= 12:
        return float(first)
    tail = len(tokens[i + 2]["t"]) == 4 and 1980 <= last <= 2100 and first <= 31
    return float(last) if tail else 0.0


def _too_many(tokens: Tokens, i: int) -> bool:
    """ "Made 2019 door broken", "won't go over 90 bucks": no count of doors, no degrees."""
    after = words_after(tokens, i, 1)
    money = len(after) > 0 and after[0] in SAID["currency"]
    return money or (len(after) > 0 and tokens[i]["n"] > 12 and after[0] in SAID["few of"])


def _on_market(tokens: Tokens, i: int) -> bool:
    """ "Listed 3 weeks", "up for 10 days": how long it has been for sale."""
    after = words_after(tokens, i, 4)
    near = [word for word in clause_words(tokens, i, 9) + after if word in SAID["put up"]]
    return len(near) > 0 and "ago" not in after


def _a_floor(tokens: Tokens, i: int) -> bool:
    """ "Water on the floor 50 bucks" and "third floor 40" tell no floor 50 or 40."""
    after = words_after(tokens, i, 1)
    money = len(after) > 0 and after[0] in SAID["currency"]
    before = tokens[i - 2]["w"] if i > 1 and tokens[i - 1]["w"] in ("floor", "fl") else ""
    return tokens[i]["n"] <= 12 and not money and before not in SAID["ordinals"]


def _a_size(tokens: Tokens, i: int) -> bool:
    """Inches from 10 up: "a 3 inch tear" and "cost me 15 in gas" are no size of the unit."""
    after = tokens[i + 1]["w"] if i + 1 < len(tokens) else ""
    if after not in ("in", "inch", "inches", '"') or tokens[i + 1].get("glued", False):
        return True
    beyond = words_after(tokens, i, 2)
    if (
        after != '"'
        and len(beyond) > 1
        and beyond[1] in "the it there parts already gas cash".split(" ")
    ):
        return False
    spent = [word for word in clause_words(tokens, i, 3) if word in SAID["no size"]]
    return tokens[i]["n"] >= 10 and len(spent) == 0  # "put 25 in", "cost me 15 in gas"


def _spent_time(tokens: Tokens, start: int, end: int) -> bool:
    """ "Already put in 25 and an hour": hours that are behind."""
    before = clause_words(tokens, start, 8)
    after = words_after(tokens, end - 1, 4)
    if has_phrase(after, SAID["spent after"]) or has_phrase(
        [*before[-4:], tokens[start]["w"]], SAID["ahead"]
    ):
        return False
    return has_phrase([*before, "|", *after], SAID["spent on"])


def _give(
    what: list[str],
    factor: list[int],
    tokens: Tokens,
    start: int,
    size: int,
    at: int,
    found: list[Any],
) -> None:
    """Note the field that a fitting pattern speaks of and mark its tokens as used."""
    role, moment = what
    value = tokens[at]["n"] * factor[0] / factor[1]
    numbers = [one["n"] for one in tokens[start : start + size] if one["n"] is not None]
    if role == "money":
        tokens[at]["money"] = "$"
        for j in range(at + 1, start + size):
            tokens[j]["used"] = "money"
        return
    if role == "unclear":  # told as not understood; not a price
        for j in range(start, start + size):
            tokens[j]["used"] = "open"
            tokens[j]["unclear"] = True
        return
    old = tokens[start + size - 1]["w"] in ("old", "yo", "o")
    if role == "age" and not old and _stored(tokens, start, start + size):
        role = "stood_years"
    if role == "age" and not old and _owned(tokens, start):
        role = "owned"
    if role == "ago":
        near = clause_words(tokens, start, 8)
        bought = [w for w in near if w in ("bought", "new", "purchased", "got", "installed")]
        role = "age" if len(bought) > 0 else "no"
    if role == "miles" and value > 2000:
        return
    if role == "hours" and moment == "bench" and _spent_time(tokens, start, start + size):
        role = "spent_hours"
    for j in range(start, start + size):
        if tokens[j]["used"] == "":
            tokens[j]["used"] = role
    _note(role, value, numbers, at, found)


def _note(role: str, value: float, numbers: list[float], at: int, found: list[Any]) -> None:
    """Add [field, value, place of the number]."""
    if role == "no":
        return
    if role[-4:] == " and":  # "two, 6 and 9 years": one of each
        for k in range(len(numbers)):
            shown = _plain(numbers[k]) if role == "size and" else numbers[k]
            found.append([role[:-4], shown, at + 2 * k])
        return
    most = max(numbers[1], 1.0) if len(numbers) > 1 else 10.0
    told: dict[str, list[Any]] = {
        "age2": ["age", sum(numbers) / len(numbers)], "drive_both": ["drive_min", value / 2],
        "of10": ["fix_chance", value / most], "percent": ["fix_chance", value / 100],
        "odds": ["fix_chance", value / 100],
        "floor_nd": ["stairs", value - 1], "size": [role, _plain(value)], "made": [role, numbers],
    }  # fmt: skip
    found.append([*told.get(role, [role, value]), at])


def _plain(value: float) -> str:
    return str(int(value)) if value == int(value) else str(value)


def _stored(tokens: Tokens, start: int, end: int) -> bool:
    """Whether the years are those it stood somewhere, not its age."""
    after = words_after(tokens, end - 1, 3)
    said = [w for w in clause_words(tokens, start, 5) if w in SAID["stored"]]
    said += [w for w in clause_words(tokens, start, 1) if w in ("for", "after", "since")]
    said += [w for w in after if w in ("storage", "garage", "shed", "barn", "since")]
    return len(said) > 0 or after[0:1] == ["now"]


def _owned(tokens: Tokens, start: int) -> bool:
    near = [w for w in clause_words(tokens, start, 4) if w in SAID["owned"]]
    return len(near) > 0


# ---- years made
DECADES = {
    "fifties": 1950, "sixties": 1960, "seventies": 1970, "eighties": 1980, "nineties": 1990,
}  # fmt: skip


def take_years(tokens: Tokens, found: list[Any], year_now: int) -> None:
    """Four-digit years, "2015 or 2016", "from the 90s"."""
    for i in range(len(tokens)):
        one = tokens[i]
        after = tokens[i + 1] if i + 1 < len(tokens) else None
        if one["w"] in DECADES:
            found.append(["made", [float(DECADES[one["w"]] + k) for k in range(10)], i])
            one["used"] = "made"
            continue
        if one["n"] is None or one["used"] != "" or one["money"] != "":
            continue
        value = one["n"]
        every = clause_words(tokens, i, 1) in (["every"], ["after"], ["for"])  # "every 90 s"
        tens = after is not None and after["w"] in ("s", "'s", "ies") and after["stop"] == 0
        if after is not None and tens and not every:
            decade = 1900 + value if value < 100 else value
            if (value < 100 or value > 1900) and decade == 10 * int(decade / 10):
                found.append(["made", [decade + k for k in range(10)], i])
                one["used"] = "made"
                after["used"] = "made"
            continue
        if _two_figures(tokens, i, year_now):
            value = 2000 + value
        if not (1930 <= value <= year_now) or value != int(value) or one.get("spelled", False):
            continue
        if after is not None and after["stop"] == 0 and after["w"] in ("btu", "miles", "watt"):
            continue
        one["used"] = "made"
        near = clause_words(tokens, i, 5)
        if near[-1:] != ["made"] and len([w for w in near if w in SAID["not of it"]]) > 0:
            one["used"] = "open"  # the year of something else: told, not dropped
            one["unclear"] = True
            continue
        both = i > 0 and tokens[i - 1]["w"] == "and"  # "2010 and 2013": of two units
        if _joins(tokens, i) and not both and len(found) > 0 and found[-1][0] == "made":
            found[-1][1] = _years(found[-1][1], value, tokens[i - 1]["w"])
            tokens[i - 1]["used"] = "made"
            continue
        found.append(["made", [value], i])
        for word in tokens[max(i - 2, 0) : i]:
            if word["w"] in ("made", "built", "year", "from", "bought") and word["used"] == "":
                word["used"] = "made"


def _two_figures(tokens: Tokens, i: int, year_now: int) -> bool:
    """ "From 09", "an 08": a year told by its last two figures; "from 14" alone could be a road."""
    text = tokens[i]["t"]
    if len(text) != 2 or not 2000 <= 2000 + tokens[i]["n"] <= year_now:
        return False
    before = clause_words(tokens, i, 2)
    lead = len(before) > 0 and before[-1] in SAID["year before"]
    return lead and (text.startswith("0") or has_phrase(before, ["made in", "built in", "model"]))


def _joins(tokens: Tokens, i: int) -> bool:
    joins = i > 1 and tokens[i - 1]["w"] in ("or", "-", "to", "and", "/")
    return joins and bool(tokens[i - 2]["used"] == "made")


def _years(before: list[float], last: float, word: str) -> list[float]:
    if word in ("-", "to") and 0 < last - before[0] <= 40:
        return [before[0] + k for k in range(int(last - before[0]) + 1)]
    return [*before, last]


# ---- money
def has_phrase(words: list[str], phrases: list[str]) -> bool:
    """Whether the words hold one of the phrases in a row."""
    line = " " + " ".join(words) + " "
    return len([phrase for phrase in phrases if line.find(" " + phrase + " ") >= 0]) > 0


def begins_with(words: list[str], phrases: list[str]) -> bool:
    """Whether the words begin with one of the phrases."""
    line = " ".join(words) + " "
    return len([phrase for phrase in phrases if line.startswith(phrase + " ")]) > 0


def money_role(tokens: Tokens, i: int, moment: str) -> str:
    """What an amount of money is: their_price, pays, …, mine, or "no" for what it cost when new."""
    before = clause_words(tokens, i, 5)
    after = [w for w in words_after(tokens, i, 7) if w not in SAID["currency"]]
    if moment == "ask" and len(after) > 1 and after[1][0] in DIGITS:
        after = []  # "asked 400 offered 320": what follows is of the next amount
    bid = moment == "ask" and has_phrase(before, SAID["bids"])  # "guy bid $30 for parts"
    if not bid and begins_with(after, SAID["part behind"]):
        return "parts"
    near = before[-4:] if moment == "bench" else before[-2:]
    if has_phrase(near, ["parts", "part"]) and not has_phrase(before, ["parts guy"]):
        return "parts"
    if _spent_money(before, after, moment):
        return "spent_money"
    if moment == "bench" and (gets_part(before) or before[-1:] in (["cost"], ["costs"])):
        return "parts"
    if _new_price(before, after):
        return "no"
    if moment == "offer" and begins_with(after, ["to fix", "to repair", "to replace", "repair"]):
        return "no"
    if moment == "bench":
        return "parts"
    if moment == "ask":
        return _sale_role(before, after, tokens, i)
    if has_phrase(before, SAID["they pay"]) and not has_phrase(before, ["can you", "can u"]):
        return "pays"
    if has_phrase(before, ["pay", "pays", "paying"]):
        theirs = ["they", "they'll", "owner", "she", "he", "she'll", "he'll", "landlord", "will"]
        theirs = [*theirs, "me", "us", "you", "gladly", "who"]
        if has_phrase(before, theirs) or begins_with(after, ["to have", "to haul", "to take"]):
            return "pays"
    gives = has_phrase(before, SAID["gives"]) or has_phrase(after, SAID["they pay after"])
    if begins_with(after, ["to take it", "to haul", "to remove", "to whoever"]) and gives:
        return "pays"
    return "their_price"


def _spent_money(before: list[str], after: list[str], moment: str) -> bool:
    """Whether the money is gone already."""
    if begins_with(after, SAID["spent behind"]) and (moment == "bench" or after[0] != "so"):
        return True
    if moment == "bench" and has_phrase(before, ["already", "paid"]):
        return True
    later = begins_with(after, SAID["spent on part"])
    if moment == "bench" and (after == ["in"] or "spent" in after[0:4] or later):
        return True
    spent = moment != "offer" and has_phrase(before[-3:], SAID["spent"])
    spent = spent and before[-2:] != ["dropped", "to"]
    return spent and not has_phrase(before[-3:], ["haven't", "havent", "not spent"])


def part_priced(before: list[str], after: list[str], n: float) -> bool:
    """Whether a bare number of a bench note is what a part costs: "kit is 90", "relay 14"."""
    ends = len(after) == 0 or after[0] in SAID["priced ends"]
    words = [word for word in before if word not in SAID["priced"]]
    said = len(words) > 0 and words[-1] in SAID["sells"] and before[-1:] != ["to"]
    return bool(ends and said and 3 <= n <= 400)


WHOLE = ("one", "ones", "unit", "washer", "dryer", "fridge", "range", "dishwasher", "machine")


def gets_part(before: list[str]) -> bool:
    """Whether the words before an amount name a part that is got."""
    if before[-1:] == ["ordered"]:
        return True
    gets = [word for word in before[-3:-1] if word in SAID["gets"]]
    if len(gets) > 0 and before[-1] in ("one", "ones"):
        return True
    return len(gets) > 0 and before[-1].isalpha() and before[-1] not in WHOLE


def _new_price(before: list[str], after: list[str]) -> bool:
    """Whether it is what one costs when new, or a bill, and nobody's price."""
    before = " ".join(before).replace("like new", "like").split(" ")
    if before[-1] in SAID["asks now"]:
        return False  # "paid 1100, asking 250", "new belt, asking 120"
    if begins_with(after, ["new", "brand new", "when new", "retail", "new in"]):
        return True
    bought = "bought" in before and before[-1] == "for"  # "bought new 2021 for 1150"
    if has_phrase(before[-3:], SAID["paid new"]) or before[-1] == "new" or bought:
        return True
    return has_phrase(before, SAID["cost then"])


def _sale_role(before: list[str], after: list[str], tokens: Tokens, i: int) -> str:
    near = before[-3:]
    if begins_with(after, SAID["not a price"]):
        return "open"  # "40 bucks profit"
    for role in ("asked_now", "mine"):
        if has_phrase(before, SAID["surely " + role]):
            return role
    if has_phrase(before, SAID["of others"]):
        return "no"  # "similar ones go for 110"
    if begins_with(after, ["firm"]):
        return "asked_now"
    if has_phrase(near, SAID["i want"]):
        return _wanted(tokens[0:i], near)
    if begins_with(after, ["on it"]) and has_phrase(before, SAID["had on"]):
        return "asked_now"
    up = [word for word in clause_words(tokens, i, 9) if word in SAID["put up"]]
    if before[-1:] == ["at"] and (len(up) > 0 or begins_with(after, SAID["so long"])):
        return "mine" if tokens[i]["ask"] else "asked_now"
    return _of_buyer(_sale_by_words(near, before, after, tokens[i]), tokens, i, after)


def _of_buyer(role: str, tokens: Tokens, i: int, after: list[str]) -> str:
    theirs = role in ("open", "mine") and after[0:1] not in (["ask"], ["is"])
    return "offered" if theirs and from_buyer(tokens, i, "ask") else role


def _wanted(said: Tokens, near: list[str]) -> str:
    """What I want is my guess; after a bid it is what is asked."""
    bids = [one for one in said if one["used"] == "offered"]
    return "asked_now" if len(bids) > 0 and "want" in near else "mine"


def from_buyer(tokens: Tokens, i: int, moment: str) -> bool:
    """Whether a buyer names the amount: "a cousin of mine would go 100", "one bid, 150"."""
    if moment != "ask":
        return False
    said = clause_words(tokens, i, 9)
    bids = i > 0 and len(said) == 0 and tokens[i - 1]["w"] in ("bid", "offer", "offered")
    return bids or (has_phrase(said, SAID["buyers"]) and not has_phrase(said, SAID["no bids"]))


def _sale_by_words(near: list[str], before: list[str], after: list[str], one: Token) -> str:
    if has_phrase(near[-1:], SAID["bids"]):
        return "offered"
    for role in ("offered", "asked_now", "mine"):
        if begins_with(after, SAID[role + " after"]):
            return role
    if has_phrase(before, ["listed", "asking"]) and not has_phrase(near, SAID["offers"]):
        return "asked_now"
    if has_phrase(near, SAID["asked"]):
        return "asked_now"
    if has_phrase(after, ["i think", "maybe", "is my guess"]) or has_phrase(near, SAID["mine"]):
        if not has_phrase(before, ["offered", "offers", "bid"]):
            return "mine"
    if has_phrase(before, SAID["offered"]):
        return "offered"
    if begins_with(after, ["tonight", "today", "cash today"]):
        return "offered"
    sure = one["money"] != "" or begins_with(after, SAID["asked behind"])
    return "asked_now" if sure and not one["ask"] else "open"


def says_free(tokens: Tokens, i: int) -> bool:
    """Whether "free" here is a price: not frost free, free delivery, free standing."""
    before = tokens[i - 1]["w"] if i > 0 and tokens[i]["stop"] == 0 else ""
    after = tokens[i + 1]["w"] if i + 1 < len(tokens) and tokens[i + 1]["stop"] == 0 else ""
    return before not in SAID["free not"] and after not in SAID["free other"]
