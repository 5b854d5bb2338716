"""Which amounts are money, what each is for, and "free"."""

from __future__ import annotations

from pricing.words.amounts import (
    CURRENCY,
    FOR_ALL,
    FOR_EACH,
    GUESS_AFTER,
    LISTED_AFTER,
    OFFERED_AFTER,
    begins_with,
    clause_words,
    gets_part,
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
    "|they said|they want|let it go for|go for|at|could do|can do|would do|i'd do|id do|settle for"
    "|id take|hed take|shed take|theyd take|down to|as low as|accept|might take|may take"
    "|probably take|will do|for like|for about|let go for"
).split("|")
PRICE_AFTER = (
    "firm|obo|o b o|or best|or best offer|takes it|takes both|takes all|takes them|for both|for all"
    "|for the pair|for the two|for the lot|for everything|for the set|each|apiece|a piece|cash"
    "|delivered|to haul|to have|to take|and its yours|and it's yours|gets it|get it|the lot|ono"
    "|takes the lot|or nearest offer|or trade|for it|as is|and it is yours|to get rid|for removal"
    "|for them|for the bunch|for the whole|for the load|for all of|takes everything|altogether"
    "|a pop|a copy|and you|and it|if you|instead of|but would|but will|but i"
).split("|")
# Words before the lower of two prices: the last word of the other side.
LOWER = (
    "lowered to|dropped to|reduced to|would take|i'd take|id take|he'd take|hed take|she'd take"
    "|shed take|they'd take|theyd take|will take|would do|could do|can do|i'd do|id do|would accept"
    "|will accept|accept|settle for|go down to|come down to|let it go for|go as low as|go for"
    "|would go|could go|might take|may take|would probably take|take"
).split("|")
SALE_NEAR = (
    "listed|asking|up at|up for|i'm at|im at|we're at|sitting at|started at"
    "|ad says|offered|offers|offer|bid|bids|bidding|thinking|guess"
    "|guessing|figure|i say|i think|hoping|give me|would you do|will you take|says|buyer at|worth"
    "|think|maybe|he'll give|come down to|list at|gives|counter|said"
    "|will give|give|gave|will do|willing|had it at|lowered to|dropped to|reduced to"
).split("|")


AND = ("and", "&", "plus", "but", "or")
# "Heats for 30" is how long, not how much.
RUNS_FOR = ["runs for", "heats for", "works for", "lasts for", "goes for", "stays for", "on for",
            "hot for", "cold for", "had for", "it for", "used for", "good for"]  # fmt: skip


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
    if moment == "ask":
        more = [*OFFERED_AFTER, *LISTED_AFTER, *GUESS_AFTER]
        return has_phrase(before, SALE_NEAR) or begins_with(after, more)
    if moment == "bench" and _at_bench(before, after):
        return True
    if moment == "offer" and _at_call(before, after, one["n"]):
        return True
    if begins_with(after, ["part", "parts", "in parts", "for the part", "in it", "into it"]):
        return True
    return has_phrase(before[-2:], ["parts", "part"]) and one["stop"] == 0


def _at_call(before: list[str], after: list[str], n: float) -> bool:
    """Whether a bare number is what they pay, or ends its clause: "a dishwasher for 15"."""
    if has_phrase(before, ["pay", "pays"]):
        return True
    ends = len(after) == 0 or after[0] in AND
    return before[-1:] == ["for"] and n >= 5 and ends and not has_phrase(before, RUNS_FOR)


SPENT_BEFORE = ["put in", "already in", "spent", "in it for", "into it for", "i'm out", "im out"]


def _at_bench(before: list[str], after: list[str]) -> bool:
    """Whether a bare number of a bench note is money."""
    if begins_with(after, ["for", "more", "spent", "so far", "in parts", "sunk"]):
        return True
    if has_phrase(before, SPENT_BEFORE):
        return True
    return gets_part(before) and len(after) == 0


def take_money(tokens: list[Token], forms: list[str], moment: str, fields: list[Field]) -> None:
    """Prices and what they are for; "free" and "they pay"."""
    signed = [i for i in range(len(tokens)) if tokens[i]["money"] != ""]
    for i in [*signed, *range(len(tokens))]:  # an amount with its sign is surer than one without
        one = tokens[i]
        if one["n"] is not None and has_phrase(clause_words(tokens, i, 2), ["instead of"]):
            one["used"] = "no"
            continue
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
            first = [f for f in fields if f[0] == role and f[0] in ("their_price", "asked_now")]
            if len(first) > 0 and _lower(tokens, i, first[0]):
                tokens[first[0][2]]["used"] = "no"
                fields.remove(first[0])
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
    """ "listed 160 and 90": the number after "and" is of the same sort."""
    for field in list(fields):
        if field[0] not in ("asked_now", "offered", "their_price"):
            continue
        i = field[2] + 2
        if i < len(tokens) and tokens[i]["n"] is not None and tokens[i]["used"] == "":
            if tokens[i - 1]["w"] in ("and", "&") and tokens[i]["stop"] == 0:
                tokens[i]["used"] = field[0]
                fields.append([field[0], tokens[i]["n"], i])


def _lower(tokens: list[Token], i: int, first: Field) -> bool:
    """ "Asking 50 but would take 35": the other side came down by itself."""
    before = clause_words(tokens, i, 5)
    return 0 < tokens[i]["n"] < first[1] and first[2] < i and has_phrase(before, LOWER)


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
    " figure bucks piece worth about runs costs cost take lowered dropped reduced would"
    " id i'd down to accept instead of settle could do but bunch"
).split(" ")


def _for_whom(tokens: list[Token], i: int) -> str:
    after = [w for w in words_after(tokens, i, 5) if w not in CURRENCY]
    before = clause_words(tokens, i, 2)
    if begins_with(after, FOR_EACH):
        return "for each"
    if begins_with(after, FOR_ALL) or has_phrase(before, ["both for", "all for"]):
        return "for all"
    return "for one"
