"""Which amounts are money, what each is for, and "free"."""

from pricing.words.amounts import (
    begins_with,
    clause_words,
    from_buyer,
    gets_part,
    has_phrase,
    money_role,
    part_priced,
    says_free,
    words_after,
)
from pricing.words.breath import Field
from pricing.words.second_thoughts import phrase_at
from pricing.words.tokens import SAID, Token, Tokens


def is_money(tokens: Tokens, i: int, moment: str) -> bool:
    """Whether a number without a sign is an amount of money, by the words beside it."""
    one = tokens[i]
    if one["money"] != "" or one.get("hundreds", False):
        return True
    before = clause_words(tokens, i, 4)
    after = words_after(tokens, i, 4)
    if before[-1:] in (["paid"], ["cost"], ["retail"], ["retails"]) and moment != "bench":
        return True
    counts = begins_with(after, ["bid", "bids", "offer", "offers"])
    if one["n"] < 5 and (counts or one.get("spelled", False)):
        return False  # "one offer", "2 bids", "two guys"
    if begins_with(after, SAID["price after"]) or (moment != "bench" and for_a_unit(tokens, i)):
        return True
    if moment != "bench" and _led(before):
        return True
    return _is_money_at(before, after, one, moment) or (
        one["n"] >= 5 and from_buyer(tokens, i, moment)
    )


def _led(before: list[str]) -> bool:
    """ "Wants a", "asking about": whether what stands before a number asks for money."""
    bare = before[:-1] if before[-1:] and before[-1] in SAID["about"] else before
    return len([n for n in (1, 2, 3) if " ".join(bare[-n:]) in SAID["price before"]]) > 0


def _is_money_at(before: list[str], after: list[str], one: Token, moment: str) -> bool:
    """The same by what is said at the call, on the bench or at listing alone."""
    if moment == "ask":
        more = [*SAID["offered after"], *SAID["asked_now after"], *SAID["mine after"]]
        return has_phrase(before, SAID["sale near"]) or begins_with(after, more)
    bench = moment == "bench" and _at_bench(before, after, one["n"])
    if bench or (moment == "offer" and _at_call(before, after, one)):
        return True
    if begins_with(after, ["part", "parts", "in parts", "for the part", "in it", "into it"]):
        return True
    return has_phrase(before[-2:], ["parts", "part"]) and one["stop"] == 0


def for_a_unit(tokens: Tokens, i: int) -> bool:
    """ "60 for the dryer": the amount before what it is for."""
    after = words_after(tokens, i, 5)
    if begins_with(after, ["for"]) and tokens[i]["n"] is not None and tokens[i]["n"] >= 5:
        for one in tokens[i + 2 : i + 1 + len(after)]:
            if one["used"] == "type" or one.get("part", "") == "same":
                return True
    return False


def _at_call(before: list[str], after: list[str], one: Token) -> bool:
    """Whether a bare number is what they pay, or ends its clause: "a dishwasher for 15"."""
    if has_phrase(before, ["pay", "pays"]):
        return True
    ends = len(after) == 0 or after[0] in SAID["and"]
    if len(before) == 0 and one.get("spelled", False) and one["n"] >= 100:
        return len(after) == 0 or after[0] in SAID["even"]  # "3 years, two hundred"
    bought = before[-1:] == ["for"] and one["n"] >= 5
    return bought and ends and not has_phrase(before, SAID["runs for"])


def _at_bench(before: list[str], after: list[str], n: float) -> bool:
    """Whether a bare number of a bench note is money."""
    if begins_with(after, ["for", "more", "spent", "so far", "in parts", "sunk"]):
        return True
    if has_phrase(before, SAID["spent before"]):
        return True
    if n >= 5 and len(before) == 0 and len(after) > 0:
        if after[0] in SAID["priced ends"][4:] or (after[0] in SAID["sells"] and after[0] != "set"):
            return True  # "38 shipped", "68 boot"
    return (gets_part(before) and len(after) == 0) or part_priced(before, after, n)


def take_money(
    tokens: Tokens, forms: list[str], moment: str, fields: list[Field], n_units: int
) -> None:
    """Prices and what they are for; "free" and "they pay"."""
    _came_down(tokens)
    signed = [i for i in range(len(tokens)) if tokens[i]["money"] != ""]
    for i in [*signed, *range(len(tokens))]:  # an amount with its sign is surer than one without
        one = tokens[i]
        if one["n"] is not None and has_phrase(clause_words(tokens, i, 2), ["instead of"]):
            one["used"] = "no"
            continue
        if one["n"] is None or one["used"] != "":
            continue
        if not (is_money(tokens, i, moment) or (n_units > 1 and _as_the_others(tokens, i, fields))):
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
            first = [f for f in fields if f[0] == role and f[0] in ("their_price", "asked_now")]
            surer = n_units < 2 and len(first) > 0 and _asked(tokens, i)
            surer = surer and not _asked(tokens, first[0][2])
            if surer or (len(first) > 0 and (value < 0 or _lower(tokens, i, first[0]))):
                tokens[first[0][2]]["used"] = "no"
                fields.remove(first[0])
            fields.append([role, value, i])
            _mark_money_words(tokens, i)
            if role == "offered" and words_after(tokens, i, 2) == ["for", "parts"]:
                forms[i + 2] = ""  # says nothing of the unit
                tokens[i + 2]["used"] = "their_price"
            fields.append([_for_whom(tokens, i), role, i])
    if moment == "offer":
        _take_free(tokens, fields)


def _take_free(tokens: Tokens, fields: list[Field]) -> None:
    for i in range(len(tokens)):
        said = phrase_at(tokens, i, SAID["free said"])
        after = words_after(tokens, i + said - 1, 2)
        if said > 0 and not (len(after) > 0 and after[0] in ("for", "if")):
            fields.append(["free", 0.0, i])
            for one in tokens[i : i + said]:
                one["used"] = one["used"] if one["used"] != "" else "their_price"
        if tokens[i]["w"] == "free" and tokens[i]["used"] == "" and says_free(tokens, i):
            tokens[i]["used"] = "their_price"
            fields.append(["free", 0.0, i])
            fields.append([_for_whom(tokens, i), "free", i])


def _came_down(tokens: Tokens) -> None:
    """ "Talked him from 80 to 55": the last is money, the first nobody's price."""
    for i in range(1, len(tokens) - 2):
        first, last = tokens[i]["n"], tokens[i + 2]["n"]
        if first is None or last is None or not 5 <= last < first:
            continue
        if tokens[i - 1]["w"] == "from" and tokens[i + 1]["w"] == "to":
            tokens[i]["used"] = "no"
            tokens[i + 1]["used"] = "money"
            tokens[i + 2]["money"] = "$" if tokens[i + 2]["used"] == "" else ""


def _as_the_others(tokens: Tokens, i: int, fields: list[Field]) -> bool:
    """ "Two dryers 20 each and a washer 40": a number behind a name, where others are priced so."""
    named = i > 0 and (tokens[i - 1]["used"] == "type" or tokens[i - 1].get("part", "") == "same")
    ends = [word for word in words_after(tokens, i, 1) if word not in SAID["and"]] == []
    priced = len([f for f in fields if f[0] in SAID["prices"]]) > 0
    return named and ends and tokens[i]["n"] >= 5 and tokens[i]["stop"] == 0 and priced


def _asked(tokens: Tokens, i: int) -> bool:
    """Whether the words before an amount say that it is the price: "a board is 380, asking 60"."""
    before = clause_words(tokens, i, 4)
    said = [n for n in (1, 2, 3, 4) if " ".join(before[-n:]) in SAID["lead price"]]
    return len(said) > 0 or begins_with(words_after(tokens, i, 3), ["obo", "firm", "or best"])


def _lower(tokens: Tokens, i: int, first: Field) -> bool:
    """ "Asking 50 but would take 35": the other side came down by itself."""
    before = clause_words(tokens, i, 5)
    if tokens[first[2] - 1]["w"] == "wants" and has_phrase(before, SAID["i bid"]):
        return False  # "she wants 100, I can do 60"
    return 0 < tokens[i]["n"] < first[1] and first[2] < i and has_phrase(before, SAID["lower"])


def _range_of_two(tokens: Tokens, i: int) -> bool:
    """ "40 to 60": the price stays open."""
    for step in (2, -2):
        j = i + step
        if 0 <= j < len(tokens) and tokens[j]["n"] is not None:
            middle = tokens[i + 1 if step > 0 else i - 1]["w"]
            if middle in ("to", "-", "or") and tokens[j]["used"] in ("", "open"):
                return True
    return False


def _mark_money_words(tokens: Tokens, i: int) -> None:
    j = i
    while j > 0 and j > i - 3 and tokens[j]["stop"] == 0:
        j -= 1
        if tokens[j]["w"] in SAID["money words"] and tokens[j]["used"] == "":
            tokens[j]["used"] = "money"
    j = i + 1
    while j < len(tokens) and j < i + 5 and tokens[j]["stop"] == 0:
        if tokens[j]["w"] in SAID["money words"] and tokens[j]["used"] == "":
            tokens[j]["used"] = "money"
        j += 1


def _for_whom(tokens: Tokens, i: int) -> str:
    after = [w for w in words_after(tokens, i, 5) if w not in SAID["currency"]]
    before = clause_words(tokens, i, 2)
    if begins_with(after, SAID["for each"]):
        return "for each"
    if begins_with(after, SAID["for all"]) or has_phrase(before, ["both for", "all for"]):
        return "for all"
    return "for one"
