"""A line as people type it, cut into words, numbers and stops. Plain functions over lists and
dicts, no regular expression: the phone's file holds the same code, translated.

A token is a dict: w (the word, small letters), t (as typed), n (its number or None), money ("" or
the sign), stop (how strong a stop stands before it: 0 none, 1 comma or dash, 2 full stop),
cap (typed with a capital), used ("" or what it was read as).
"""

from typing import Any

from pricing.words.digits import DIGITS, SIGNS, read_digits

Token = dict[str, Any]
Tokens = list[Token]
Table = dict[str, Any]
Tables = list[Table]
# The lists of words of data/words/listed.csv, filled when the tables are made ready.
SAID: dict[str, list[str]] = {}
STOPS = ",.;:!?()[]{}|\n\r\t"


def is_digits(text: str) -> bool:
    """Whether all are digits, and there is one at least."""
    return text != "" and len([c for c in text if c not in DIGITS]) == 0


def is_letters(text: str) -> bool:
    """Whether no digit, stop or sign is in it."""
    other = STOPS + "\"'-/+&#%°*=<>_~^$€£¥₹"
    return text != "" and len([c for c in text if c in DIGITS or c in other]) == 0


AS_TYPED = {
    **dict.fromkeys("’‘`´ʼ", "'"), **dict.fromkeys("“”″", '"'), **dict.fromkeys("–—−", " - "),
    **dict.fromkeys("\u00a0\u202f\u2009", " "),
}  # fmt: skip


SHORT = "min mins hr hrs yr yrs mi ft cu lb lbs approx elec apt est avg appt no".split(" ")
WRITTEN = (
    ("three quarters of an hour", "45 minutes"), ("quarter of an hour", "15 minutes"),
    ("quarter hour", "15 minutes"), ("quarter hr", "15 minutes"), ("gasdryer", "gas dryer"),
    ("gasstove", "gas stove"), ("gasrange", "gas range"), ("electricdryer", "electric dryer"),
    ("so-so", "fair"), ("o.b.o", "obo"), (" er ", " or "), ("elevators broke", "elevator is broke"),
    (" flite", " flight"), ("ovr the", "over the"), ("coin flip", "50/50"),
    ("coin toss", "50/50"), ("toss up", "50/50"),
)  # fmt: skip
COUNT_WORDS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
               "twelve")  # fmt: skip


def tidied(text: str) -> str:
    """One sort of apostrophe, quotation mark and dash; emoji and bullets are blanks."""
    out = ""
    for c in text:
        if c in AS_TYPED:
            out += AS_TYPED[c]
        elif ord(c) > 0x2000 and c not in SIGNS and c not in "™":
            out += " , "
        else:
            out += c
    for n in range(2, 13):  # "two (2) dryers", "(5) dishwashers"
        count = "(" + str(n) + ") "
        small = COUNT_WORDS[n - 2]
        for word in (small, small[0].upper() + small[1:]):
            out = out.replace(word + " " + count, str(n) + " ")
        out = out.replace(count, str(n) + " ")
    for said, plainly in WRITTEN:
        out = out.replace(said, plainly)
    out = out.replace(" one's ", " one is ").replace(" One's ", " one is ")
    out = (" " + out + " ").replace(" 1/2 ", " ½ ").replace(" 1/2h", " ½ h").strip()
    for digit in DIGITS:  # "1 1/2 hours"
        out = out.replace(" ." + digit, " 0." + digit).replace(digit + " ½", digit + ".5")
        out = out.replace(digit + "½", digit + ".5")
    return out.replace("½", "0.5")


def pieces(text: str) -> list[str]:
    """Cut at blanks and stops; a stop is a piece of its own. A point or comma between two digits
    stays inside its number.

    >>> pieces("no heat, 12,5 km. $1,299!!")
    ['no', 'heat', ',', '12,5', 'km', '.', '$1,299', '!', '!']
    """
    found: list[str] = []
    word = ""
    size = len(text)
    for i in range(size):
        c = text[i]
        before = text[i - 1] if i > 0 else " "
        after = text[i + 1] if i + 1 < size else " "
        inside = c in ".,:" and before in DIGITS and after in DIGITS
        # a list of two full numbers ("160,90") is rare; "$50,12 miles" is not
        if c == "," and inside and _long_run(text, i + 1) > 3:
            inside = False
        if c == " " or (c in STOPS and not inside):
            if word != "":
                found.append(word)
            word = ""
            if c != " ":
                found.append("," if c in "|\t" else c)
        else:
            word += c
    if word != "":
        found.append(word)
    return found


def _long_run(text: str, start: int) -> int:
    end = start
    while end < len(text) and text[end] in DIGITS:
        end += 1
    return end - start


def cut_word(piece: str) -> list[str]:
    """A piece at the borders of sign, number and word: "60$", "6yrs", "24\\"", "w/", "5-6".

    >>> cut_word("6yrs"), cut_word("$40"), cut_word('24"'), cut_word("5-6"), cut_word("front-load")
    (['6', 'yrs'], ['$', '40'], ['24', '"'], ['5', '-', '6'], ['front', 'load'])
    """
    if is_letters(piece[0]) and not is_letters(piece) and _is_code(piece):
        return [piece.replace("-", "").replace("#", "")]
    parts: list[str] = []
    word = ""
    kind = ""
    size = len(piece)
    for i in range(size):
        c = piece[i]
        after = piece[i + 1] if i + 1 < size else ""
        if c in DIGITS:
            now = "n"
        elif c in ".,:" and kind == "n" and after != "" and after in DIGITS:
            now = "n"
        elif c in SIGNS:
            now = "$"
        elif c in '"#%+&=*~°<>^_':
            now = "x"
        elif c in "-/":
            now = "-"
        else:
            now = "a"
        if now == "a" and c == "'" and kind != "a":
            now = "q"
        if word != "" and now != kind:
            parts.append(word)
            word = ""
        word += c
        kind = now
        if now in "$x-q":
            parts.append(word)
            word = ""
            kind = ""
    if word != "":
        parts.append(word)
    return _joined(parts)


def _is_code(piece: str) -> bool:
    """Letters first, then digits, as in E21, R600a, HB-7720E; "w/2" and "x3" are none."""
    digits = False
    for c in piece:
        if c in DIGITS:
            digits = True
        elif not (is_letters(c) or c in "-#"):
            return False
    return digits and not (piece[0] in "xX" and is_digits(piece[1:]))


def _joined(parts: list[str]) -> list[str]:
    """Hyphens between words go; between numbers they stay; letter-digit codes stay whole."""
    out: list[str] = []
    for i in range(len(parts)):
        part = parts[i]
        if part == "-":
            before = parts[i - 1] if i > 0 else ""
            after = parts[i + 1] if i + 1 < len(parts) else ""
            if number_of(before) is not None and number_of(after) is not None:
                out.append("-")
            elif before == "" and after != "":
                out.append("-")
        elif part == "/":
            before = parts[i - 1] if i > 0 else ""
            after = parts[i + 1] if i + 1 < len(parts) else ""
            if after == "" and before == "w":
                out[-1] = "with"
            elif before == "a" and after == "c":
                out[-1] = "a/"
            elif number_of(before) is not None and number_of(after) is not None:
                out.append("/")
        elif part == "c" and len(out) > 0 and out[-1] == "a/":
            out[-1] = "ac"
        else:
            out.append(part)
    return out


def number_of(text: str, mark: str = ".") -> float | None:
    """The number that digits with points and commas mean; None where it is none.

    >>> number_of("1,299"), number_of("45,50"), number_of("1.200"), number_of("2.5"), number_of("x")
    (1299.0, 45.5, 1.2, 2.5, None)
    """
    if text == "" or text[0] not in DIGITS:
        return None
    found = read_digits(text, mark, False)[0]
    return None if found == "" else float(found)


TEENS = "thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split(" ")
SMALL = ["zero", "one", *COUNT_WORDS, *TEENS]
ONES = {SMALL[n]: n for n in range(20)}
TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90, "veinte": 20, "treinta": 30, "cuarenta": 40, "cincuenta": 50,
    "sesenta": 60, "setenta": 70, "ochenta": 80, "noventa": 90,
}  # fmt: skip


def tokens_of(text: str, mark: str = ".") -> Tokens:
    """The line as tokens; numbers in words become numbers.

    >>> [(t["w"], t["n"], t["stop"]) for t in tokens_of("Dryer, forty five bucks")]
    [('dryer', None, 0), ('forty five', 45.0, 1), ('bucks', None, 0)]
    """
    raw: list[Token] = []
    stop = 0
    bracket = False
    cut = pieces(tidied(text))
    for place in range(len(cut)):
        piece = cut[place]
        if piece in ("-", "--"):
            if _is_range(raw, cut, place, mark):
                raw.append(_token("-", mark, stop))
            else:
                stop = 1 if stop == 0 else stop
            continue
        if _is_short(raw, cut, place):
            continue
        if piece in STOPS and len(piece) == 1:
            strong = 2 if piece in ".!?;\n\r" else 1
            bracket = piece in "(["
            stop = strong if strong > stop else stop
            if piece in "?" and len(raw) > 0:
                raw[-1]["ask"] = True
            continue
        for part in cut_word(piece):
            if part in "*~_^<>=" and len(part) == 1:
                continue
            raw.append(_token(part, mark, stop))
            raw[-1]["glued"] = part != piece  # "24in"
            raw[-1]["bracket"] = bracket
            bracket = False
            stop = 0
    return _numbers_in_words(_money_signs(_quoted_years(raw), mark))


def _is_short(raw: Tokens, cut: list[str], place: int) -> bool:
    """ "20 min. from here", "no. 2": the point ends no sentence."""
    after = cut[place + 1][0] if place + 1 < len(cut) else ""
    if cut[place] != "." or len(raw) == 0 or raw[-1]["w"] not in SHORT:
        return False
    return after != "" and after == after.lower() and after not in STOPS


def _is_range(raw: Tokens, cut: list[str], place: int, mark: str) -> bool:
    """ "5 - 6 years" is a range, "like new - $40" and "'11 - 14 firm" hold a stop."""
    after = number_of(cut[place + 1], mark) if place + 1 < len(cut) else None
    several = len([piece for piece in cut if piece == "-"]) > 2  # dashes as stops
    if len(raw) == 0 or raw[-1]["n"] is None or after is None or several:
        return False
    year = len(raw) > 1 and raw[-2]["w"] == "'"
    return not year and bool(raw[-1]["n"] < after < 1.6 * raw[-1]["n"])


NOTES = {"tenner": 10.0, "fiver": 5.0}  # of money


def _token(part: str, mark: str, stop: int) -> Token:
    small = part.lower()
    cap = part[0] != small[0]
    one: Token = {"w": small, "t": part, "n": number_of(part, mark), "money": "", "stop": stop}
    if small in NOTES:
        one = {**one, "n": NOTES[small], "money": "$"}
    return {**one, "cap": cap, "used": "", "ask": False}


def _quoted_years(raw: Tokens) -> Tokens:
    """Years as "'14", and single marks that say nothing taken out."""
    out: list[Token] = []
    i = 0
    while i < len(raw):
        one = raw[i]
        after = raw[i + 1] if i + 1 < len(raw) else None
        if one["w"] == "'" and after is not None and after["n"] is not None:
            if len(after["t"]) == 2:
                two = int(after["n"])
                after["n"] = float(1900 + two if two > 40 else 2000 + two)
                after["w"] = str(int(after["n"]))
                after["year"] = True
            after["stop"] = one["stop"] if one["stop"] > after["stop"] else after["stop"]
            i += 1
            continue
        if one["w"] in ("'", "/") or (one["w"] == "#" and after is not None):
            if after is not None and one["stop"] > after["stop"]:
                after["stop"] = one["stop"]
            if one["w"] == "#" and after is not None and after["n"] is not None:
                after["used"] = "no"
            if one["w"] == "/" and len(out) > 0 and out[-1]["n"] is not None:
                out.append(one)
            i += 1
            continue
        out.append(one)
        i += 1
    return out


def _money_signs(raw: Tokens, mark: str) -> Tokens:
    """The sign before or after goes into its number; "-" before it is a minus, "1.2k" thousands."""
    out: list[Token] = []
    i = 0
    while i < len(raw):
        one = raw[i]
        after = raw[i + 1] if i + 1 < len(raw) else None
        if one["w"] == "-" and after is not None and one["stop"] == 0 and len(out) > 0:
            last = out[-1]
            if last["n"] is None and (after["n"] is not None or after["w"] in SIGNS):
                after["minus"] = True
                i += 1
                continue
        if len(one["w"]) == 1 and one["w"] in SIGNS:
            if after is not None and after["n"] is not None and after["stop"] == 0:
                after["money"] = one["w"]
                after["stop"] = one["stop"]
                after["minus"] = one.get("minus", False) or after.get("minus", False)
                i += 1
                continue
            if len(out) > 0 and out[-1]["n"] is not None and one["stop"] <= 1:
                out[-1]["money"] = one["w"]
            i += 1
            continue
        if one["w"] == "k" and len(out) > 0 and out[-1]["n"] is not None and one["stop"] == 0:
            out[-1]["n"] = out[-1]["n"] * 1000
            i += 1
            continue
        if one["w"] == "hundred" and len(out) > 0 and out[-1]["n"] is not None:
            if one["stop"] == 0 and out[-1]["n"] < 100:
                out[-1]["n"] = out[-1]["n"] * 100
                out[-1]["hundreds"] = True
                i += 1
                continue
        out.append(one)
        i += 1
    for one in out:
        if one["money"] != "" and one["n"] is not None:
            # "1.200 €" is twelve hundred: money has no three decimals
            either = read_digits(one["t"], mark, True)
            if either[1] != "":
                one["n"] = float(either[0])
        if one.get("minus", False) and one["n"] is not None:
            one["n"] = -one["n"]
    return out


def _numbers_in_words(raw: Tokens) -> Tokens:
    """ "forty five" is 45, "hundred twenty" 120, "a couple" 2, "half a dozen" 6."""
    out: list[Token] = []
    i = 0
    while i < len(raw):
        value, size = _spelled(raw, i)
        if raw[i]["w"] == "hour" and _stands_alone(raw, i):
            raw.insert(i, dict(raw[i]))  # "set 26, hour": one
            raw[i + 1]["stop"] = 0
            value, size = 1.0, 1
        if size == 0 and i + 1 < len(raw) and raw[i + 1]["stop"] == 0:
            # "an hour", "half an hour", "an hour and a half": the unit word stays
            after = raw[i + 1]["w"]
            way = after in ("there", "round", "each", "drive", "away", "job", "of", "or")
            lone = raw[i]["w"] == "year" and after == "old" and "gone" not in raw[i + 1]
            lone = lone or (raw[i]["w"] == "hour" and way)  # "hour there and back"
            lone = lone and (len(out) == 0 or out[-1]["n"] is None)
            half = raw[i]["w"] == "hour" and _and_a_half(raw, i) and "gone" not in raw[i + 1]
            if half or lone:
                raw.insert(i, dict(raw[i]))
                raw[i + 1]["stop"] = 0
                value, size = 1.0, 1
            elif raw[i]["w"] in ("a", "an") and after in A_UNIT:
                value, size = 1.0, 1
            elif raw[i]["w"] == "half" and after in ("an", "a") and i + 2 < len(raw):
                value, size = (0.5, 2) if raw[i + 2]["w"] in ("hour", "hr", "mile") else (None, 0)
            elif raw[i]["w"] == "half" and after in ("hour", "hr"):
                value, size = 0.5, 1
            elif raw[i]["w"] == "a" and after in ("hundred", "thousand"):
                value, size = _spelled(raw, i + 1)
                size = size + 1
            elif raw[i]["w"] == "buck" and after in TENS:
                value, size = 100.0 + TENS[after], 2  # "a buck fifty"
        if size > 0 and value is not None and _and_a_half(raw, i + size):
            # "an hour and a half", "hour and a half"
            for one in raw[i + size + 1 : i + size + 4]:
                one["gone"] = True
            value += 0.5
        if size == 0:
            out.append(raw[i])
            i += 1
            continue
        more, longer = _and_more(raw, i + size, value)
        size += longer
        words = " ".join([each["w"] for each in raw[i : i + size]])
        value = more
        one = raw[i]
        one["w"] = words
        one["t"] = words
        one["n"] = value
        one["spelled"] = not (1980 <= value <= 2100 and size > 1)  # "twenty eighteen" is a year
        if not one["spelled"]:
            one["t"] = str(int(value))
        one["ask"] = raw[i + size - 1]["ask"]
        out.append(one)
        i += size
    return [one for one in out if not one.get("gone", False)]


A_UNIT = ("hour", "mile", "year", "flight", "month", "week", "hr")


def _stands_alone(raw: Tokens, i: int) -> bool:
    before = raw[i - 1] if i > 0 else raw[i]
    ends = i + 1 == len(raw) or raw[i + 1]["stop"] > 0
    alone = raw[i]["stop"] > 0 or before["w"] in ("another", "extra")
    return ends and alone and before["w"] != "hour" and "gone" not in raw[i]


def _and_more(raw: Tokens, i: int, value: Any) -> tuple[float, int]:
    """The number with "and a half", "and a quarter" behind it, and how many tokens that takes."""
    said = [one["w"] if one["stop"] == 0 else "" for one in raw[i : i + 3]]
    if len(said) == 3 and said[0:2] == ["and", "a"] and said[2] in ("half", "quarter"):
        part = 0.5 if said[2] == "half" else 0.25
        return value + part * (100 if value >= 100 else 1), 3
    return value, 0


def _and_a_half(raw: Tokens, i: int) -> bool:
    if i + 3 >= len(raw) or raw[i]["w"] not in ("hour", "hours", "year", "years", "mile", "miles"):
        return False
    return [raw[i + k]["w"] for k in (1, 2, 3)] == ["and", "a", "half"]


def _goes_on(raw: Tokens, i: int) -> bool:
    """ "A hundred and twenty": whether the number goes on here."""
    return i < len(raw) and raw[i]["stop"] == 0 and (raw[i]["w"] in TENS or raw[i]["w"] in ONES)


def _spelled(raw: Tokens, i: int) -> tuple[float | None, int]:
    """The number spelled from here, and how many tokens it takes; (None, 0) for none."""
    total = 0.0
    part = 0.0
    size = 0
    last = ""
    for j in range(i, len(raw)):
        w = raw[j]["w"]
        if j > i and raw[j]["stop"] > 0:
            break
        if w in TENS and last in ("", "hundred"):
            part += TENS[w]
            last = "tens"
        elif w in TENS and last == "ones" and part < 10 and raw[j]["n"] is None:
            part = part * 100 + TENS[w]  # "one fifty", as prices are said
            last = "tens"
        elif last == "tens" and part == 20 and (9 < ONES.get(w, 0) < 20 or TENS.get(w, 0) == 20):
            part = 2000.0 + ONES.get(w, 20)  # "twenty eighteen", "twenty twenty"
            last = "tens" if w in TENS else "end"
        elif w in TENS and part == 19 and last == "teen" and size == 1:
            part = 1900.0 + TENS[w]
            last = "tens"
        elif w in ("and", "n") and last == "hundred" and _goes_on(raw, j + 1):
            continue
        elif w == "hundred" and last == "end" and part == 2.0:
            part = 200.0  # "a couple hundred"
            last = "hundred"
        elif w in ONES and (last in ("", "hundred") or (last == "tens" and 0 < ONES[w] < 10)):
            part += ONES[w]
            last = "ones" if ONES[w] < 10 else "teen"
        elif w == "hundred" and last in ("", "ones", "teen", "tens") and raw[j]["n"] is None:
            part = (part if part > 0 else 1.0) * 100
            last = "hundred"
        elif w == "thousand" and (last != "" or j == 0 or raw[j - 1]["w"] == "a"):
            total += (part if part > 0 else 1.0) * 1000
            part = 0.0
            last = "hundred"
        elif w == "couple" and last == "":
            part = 2.0
            last = "end"
        elif w == "dozen" and last == "":
            part = 12.0
            last = "end"
        else:
            break
        size = j - i + 1
    return (total + part if size > 0 else None), size
