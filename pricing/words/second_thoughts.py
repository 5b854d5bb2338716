"""What a person takes back while speaking: "as I recall" says nothing, and "gas, no wait, electric"
says electric. Plain functions over lists and dicts: the phone's file holds the same code."""

from typing import Any

from pricing.words.tokens import SAID, Token, Tokens


def without_asides(tokens: Tokens) -> Tokens:
    """The line without what only says how sure somebody is.

    >>> from pricing.words.tokens import tokens_of
    >>> [t["w"] for t in without_asides(tokens_of("6 years as I recall, leaks"))]
    ['6', 'years', 'leaks']
    """
    out: list[Token] = []
    stop = 0
    i = 0
    while i < len(tokens):
        size = phrase_at(tokens, i, SAID["asides"])
        stop = max(stop, tokens[i]["stop"])
        if size > 0:
            i += size
            continue
        tokens[i]["stop"] = stop
        stop = 0
        out.append(tokens[i])
        i += 1
    return out


# The phrases of a list by their first word, gathered when first needed.
BY_HEAD: dict[str, dict[str, list[str]]] = {}


def _by_head(phrases: Any) -> dict[str, list[str]]:
    key = phrases[0] + "|" + phrases[-1]
    if key not in BY_HEAD:
        BY_HEAD[key] = {}
        for phrase in phrases:
            head = phrase.split(" ")[0]
            BY_HEAD[key][head] = [*BY_HEAD[key].get(head, []), phrase]
    return BY_HEAD[key]


def phrase_at(tokens: Tokens, i: int, phrases: Any) -> int:
    """How many tokens from i make one of the phrases, the longest; 0 for none."""
    first = tokens[i]["w"]
    best = 0
    for phrase in _by_head(phrases).get(first, []):
        words = phrase.split(" ")
        if i + len(words) > len(tokens):
            continue
        same = [k for k in range(len(words)) if tokens[i + k]["w"] == words[k]]
        if len(same) == len(words) > best:
            best = len(words)
    return best


def with_last_number(tokens: Tokens) -> Tokens:
    """The line without a number that the next words put right.

    >>> from pricing.words.tokens import tokens_of
    >>> [t["w"] for t in with_last_number(tokens_of("asking 80 bucks, no make that 60"))]
    ['asking', '60', 'bucks']
    """
    out: list[Token] = []
    i = 0
    while i < len(tokens):
        after = i + _taking_back(tokens, i)
        first = _first_number(out)
        fits = after > i and first >= 0 and after < len(tokens) and tokens[after]["n"] is not None
        first_label = fits and tokens[after]["n"] == 1 and tokens[after - 1]["w"] == "no"
        if fits and not first_label and _same_sort(out, first, tokens, after):
            tokens[after]["stop"] = out[first]["stop"]
            ends = after + 1 >= len(tokens) or tokens[after + 1]["stop"] > 0
            unit = out[first + 1 :] if ends else []  # "5 yrs, actually 6": years too
            if out[first]["money"] != "" and tokens[after]["money"] == "":
                tokens[after]["money"] = out[first]["money"] if ends else ""
            out = [*out[0:first], tokens[after], *unit]
            i = after + 1
            continue
        out.append(tokens[i])
        i += 1
    return out


def _counted(tokens: Tokens, i: int) -> str:
    """What the number at i counts, as its group of words; "" where the next word does not say."""
    after = tokens[i + 1]["w"] if i + 1 < len(tokens) and tokens[i + 1]["stop"] == 0 else ""
    after = "bucks" if tokens[i]["money"] != "" else after
    return "".join([g for g in SAID["counted"] if (" " + g + " ").find(" " + after + " ") >= 0])


def _same_sort(said: Tokens, first: int, tokens: Tokens, after: int) -> bool:
    """Whether two numbers may be of the same thing: "6 years, no, 7 miles" puts nothing right."""
    one, two = _counted(said, first), _counted(tokens, after)
    return one == two or one == "" or two == ""


def _taking_back(tokens: Tokens, i: int) -> int:
    """How many tokens from i only take back what was said ("sorry, make that"); 0 for none."""
    at = i
    sure = False
    apart = tokens[i]["stop"] > 0 or (i > 0 and tokens[i - 1]["n"] is not None)  # "5 no 6"
    while at < len(tokens):
        size = phrase_at(tokens, at, SAID["takes back"])
        word = tokens[at]["w"]
        if size == 0 and word in SAID["well no"] and (at > i or apart):
            size = 1
        sure = sure or size > 0
        if sure and size == 0 and word in SAID["between"]:
            size = 1
        if size == 0:
            break
        at += size
    return at - i


# Words of which one takes the place of another: fuels, and where the lid or door is.
OTHERWISE = (("gas", "propane", "electric", "elec"), ("top", "front"))


def with_last_word(tokens: Tokens) -> Tokens:
    """The line without a fuel or a side that the next words put right.

    >>> from pricing.words.tokens import tokens_of
    >>> [t["w"] for t in with_last_word(tokens_of("electric dryer, sorry gas, no heat"))]
    ['gas', 'dryer', 'no', 'heat']
    """
    tokens = _not_this(tokens)
    out: list[Token] = []
    i = 0
    while i < len(tokens):
        size = phrase_at(tokens, i, SAID["takes back"])
        if size == 0 and tokens[i]["w"] == "no" and tokens[i]["stop"] > 0:
            size = 1
        after = i + size
        while size > 0 and after < len(tokens) - 1 and tokens[after]["w"] in SAID["between"]:
            after += 1
        at = _said_before(out, tokens, after) if size > 0 and after < len(tokens) else -1
        if at < 0:
            out.append(tokens[i])
            i += 1
            continue
        out[at]["w"] = tokens[after]["w"]
        out[at]["t"] = tokens[after]["t"]
        i = after + 1
        if i < len(tokens) and tokens[i]["w"] in ("one", "load", "loader", "model", "version"):
            i += 1
        if i < len(tokens) and tokens[i]["stop"] == 0:
            tokens[i]["stop"] = 1
    return out


def mark_left_open(tokens: Tokens, forms: list[str]) -> None:
    """ "Gas or electric, didn't ask", "upright or chest?": neither is told; both words are."""
    for i in range(len(tokens) - 2):
        for row in SAID["alternatives"]:
            group = row.split(" ")
            one, two = tokens[i]["w"], tokens[i + 2]["w"]
            if tokens[i + 1]["w"] in ("or", "/") and one in group and two in group and one != two:
                for k in (i, i + 2):
                    forms[k] = ""
                    tokens[k]["used"] = "open"
                    tokens[k]["either"] = True


def _not_this(tokens: Tokens) -> Tokens:
    """ "Not a gas dryer, its the electric one": the fuel or side that is told, in its place."""
    for i in range(len(tokens)):
        at = i + 1
        while at < len(tokens) and tokens[at]["w"] in SAID["between"]:
            at += 1
        thought = tokens[i]["w"] in ("said", "thought", "figured", "wrote", "says")
        if at >= len(tokens) or not (thought or tokens[i]["w"] in ("not", "isn't", "isnt")):
            continue
        k = _other_of(tokens, at)
        middle = [one["w"] for one in tokens[at:k]] if k > 0 else []
        turns = [w for w in middle if w in ("but", "actually", "its", "it's", "is", "really")]
        if k < 0 or (thought and len(turns) == 0):
            continue
        tokens[at]["w"] = tokens[k]["w"]
        tokens[at]["t"] = tokens[k]["t"]
        tokens[at]["stop"] = tokens[i]["stop"]
        last = tokens[k + 1]["w"] if k + 1 < len(tokens) else ""
        end = k + 2 if last in ("one", "load", "loader", "kind", "model") else k + 1
        start = k
        while start > at + 1 and tokens[start - 1]["w"] in SAID["between"]:
            start -= 1
        return [*tokens[0:i], *tokens[at:start], *tokens[end:]]
    return tokens


def _other_of(tokens: Tokens, at: int) -> int:
    """Where the word stands, soon after one of a group, that takes its place; -1 for none."""
    for group in OTHERWISE:
        if tokens[at]["w"] in group:
            for k in range(at + 1, min(at + 9, len(tokens))):
                if tokens[k]["w"] in group and tokens[k]["w"] != tokens[at]["w"]:
                    return k
    return -1


def _said_before(said: Tokens, tokens: Tokens, i: int) -> int:
    """Where the word stands that tokens[i] takes the place of; -1 for none."""
    ends = i + 1 >= len(tokens) or tokens[i + 1]["stop"] > 0
    goes_on = not ends and (tokens[i + 1]["w"] in SAID["goes on"] or tokens[i + 1]["n"] is not None)
    if not (ends or goes_on):
        return -1
    for group in OTHERWISE:
        if tokens[i]["w"] not in group:
            continue
        for back in range(min(len(said), 9)):
            at = len(said) - 1 - back
            if said[at]["w"] in group and said[at]["w"] != tokens[i]["w"]:
                return at
    return -1


def _first_number(said: Tokens) -> int:
    """Where the number stands that ends a line, with two words behind it at most; -1 for none."""
    for back in range(3):
        i = len(said) - 1 - back
        if i < 0:
            return -1
        if said[i]["n"] is not None:
            return i
        if said[i]["stop"] > 0:
            return -1
    return -1


def with_last_kind(tokens: Tokens, mentions: list[Any]) -> list[Any]:
    """The appliances named, without one that the next words put right."""
    out: list[Any] = []
    for one in mentions:
        if len(out) > 0 and taken_back(tokens, out[-1]["end"], one["start"]):
            for i in range(out[-1]["start"], one["start"]):
                tokens[i]["used"] = "idle"
            out = out[0:-1]
        out.append(one)
    return out


def taken_back(tokens: Tokens, start: int, end: int) -> bool:
    """Whether nothing but words that take back stands between two places."""
    seen = False
    i = start
    while i < end:
        size = phrase_at(tokens, i, SAID["takes back"])
        if size > 0 and i + size <= end:
            seen = True
            i += size
        elif tokens[i]["w"] in SAID["between"]:
            i += 1
        else:
            return False
    return seen


ONCE_SAID = "made their_price miles age drive_min maker asked_now offered stairs"


def last_said(tokens: Tokens, fields: list[Any], lone: bool) -> list[Any]:
    """The fields without a value that a later one of the same name puts right ("twelve miles, no
    wait, she called back, fifteen"), or that a price of today takes the place of. lone: of one
    unit, whose age another year made may put right too."""
    gone: list[Any] = []
    for first in fields:
        for last in fields:
            if first[2] < last[2] and first[1] != last[1] and _over(tokens, first, last, lone):
                gone.append(first)
                tokens[first[2]]["used"] = "no"
    return [field for field in fields if field not in gone]


def _over(tokens: Tokens, first: Any, last: Any, lone: bool) -> bool:
    """Whether the later of two fields takes the place of the first."""
    name, start, end = first[0], first[2], last[2]
    if name == last[0] and name in ONCE_SAID.split(" "):
        doubted = [one for one in tokens[start : start + 2] if one["ask"]]
        if len(doubted) > 0 and not tokens[end]["ask"] and name in ("age", "miles"):
            return True  # "ten? let's say nine years"
        return (lone and _in_force(tokens, first, last)) or _put_right(tokens, start, end, False)
    years = lone and name in ("age", "made") and last[0] in ("age", "made")
    return years and name != last[0] and _put_right(tokens, start, end, True)


def _put_right(tokens: Tokens, start: int, end: int, years: bool) -> bool:
    """Whether words that take back stand between two places; of an age and a year "but" is one."""
    for i in range(start + 1, end):
        size = phrase_at(tokens, i, SAID["takes back"])
        no = tokens[i]["w"] == "no" and tokens[i + 1]["stop"] > 0
        if no or size > 1 or (size == 1 and tokens[i]["w"] in SAID["takes back alone"]):
            return True
        if years and tokens[i]["w"] in ("but", "receipt", "sticker", "plate"):
            return True
    return False


def _in_force(tokens: Tokens, first: Any, last: Any) -> bool:
    """Of two bids the higher, of two prices that of today: "at 220 on Monday, it's 150 today"; an
    own ask is put down by "now" alone."""
    name, start, end = first[0], first[2], last[2]
    if name == "offered":
        return bool(last[1] > first[1])
    near = [one["w"] for one in tokens[start + 1 : end + 3]]
    before = [one["w"] for one in tokens[max(start - 3, 0) : start]]
    was = [word for word in before if word in ("had", "was", "started", "wanted", "asked")]
    was = [name] if name == "asked_now" else was if name == "their_price" else []
    return len(was) > 0 and len([word for word in near if word in ("today", "now")]) > 0


def mark_taken_back(tokens: Tokens) -> None:
    """What takes something back says nothing of the unit: no "scratch" in "scratch that"."""
    for i in range(len(tokens)):
        size = phrase_at(tokens, i, SAID["takes back"])
        if size > 1:
            for one in tokens[i : i + size]:
                one["used"] = "idle" if one["used"] == "" and one["n"] is None else one["used"]
