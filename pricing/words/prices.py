"""Which amounts are money, what each is for, and "free"."""

from __future__ import annotations

from pricing.words.amounts import (
    FOR_ALL,
    FOR_EACH,
    begins_with,
    clause_words,
    has_phrase,
    money_role,
    says_free,
    words_after,
)
from pricing.words.breath import Field
from pricing.words.tokens import Token

PRICE_BEFORE = (
    "wants|want|wanting|asking|asks|ask|price|priced at|asking price|for only|only|firm at"
    "|will take"
    "|would take|i'd take|she'd take|he'd take|they'd take|they'll take|she'll take|he'll take"
    "|selling for|sell for|for sale|down to|she says|he says|they say|owner says|guy says|lady says"
    "|yours for|have it for|have it at|listed at|listed|listed for|wants only|she said|he said"
    "|they said|they want|let it go for|go for|at"
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
    "|will give|give|gave|will do|willing|had it at|lowered to|dropped to|reduced to"
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
        return found or begins_with(
            after, ["offered", "bid", "is all", "cash", "and picks", "if i"]
        )
    if moment == "bench" and begins_with(after, ["for"]):
        return True
    if begins_with(after, ["part", "parts", "in parts", "for the part", "in it", "into it"]):
        return True
    return has_phrase(before[-2:], ["parts", "part"]) and one["stop"] == 0


def take_money(tokens: list[Token], forms: list[str], moment: str, fields: list[Field]) -> None:
    """Prices and what they are for; "free" and "they pay"."""
    signed = [i for i in range(len(tokens)) if tokens[i]["money"] != ""]
    for i in [*signed, *range(len(tokens))]:  # an amount with its sign is surer than one without
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
            lowered = has_phrase(
                clause_words(tokens, i, 3), ["lowered to", "dropped to", "reduced to"]
            )
            fields.insert(0 if lowered else len(fields), [role, value, i])
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
    """ "listed 160 and 90": the number after "and" is of the same sort."""
    for field in list(fields):
        if field[0] not in ("asked_now", "offered", "their_price"):
            continue
        i = field[2] + 2
        if i < len(tokens) and tokens[i]["n"] is not None and tokens[i]["used"] == "":
            if tokens[i - 1]["w"] in ("and", "&") and tokens[i]["stop"] == 0:
                tokens[i]["used"] = field[0]
                fields.append([field[0], tokens[i]["n"], i])


def _range_of_two(tokens: list[Token], i: int) -> bool:
    """ "40 to 60": the price stays open."""
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
    " for pay pays paying removal delivered cash offered offers offer bid bids listed guess"
    " thinking"
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
