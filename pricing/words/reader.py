"""One line as people say it -> what it says. `read` is the whole of it; all tables come as data.

What comes back is the object `heard` of every answer: read (fields), kinds (where the kind is left
open), units and each (several units), not_understood, asks_back, tags, read_as (typos mended).
"""

from pricing.words.amounts import take_numbers, take_years, words_after
from pricing.words.breath import (
    Field,
    blank_unit,
    give_fuel,
    mark_mentions,
    name_again,
    pair_up,
    parts_of,
    told_apart,
)
from pricing.words.called import take_makers, take_own_features, take_place
from pricing.words.diagnosis import read_troubles, tags_of
from pricing.words.digits import DIGITS
from pricing.words.gist import asks, gathered, left_over
from pricing.words.kinds import mentions_of, narrow_by_words, units_of
from pricing.words.looks import take_said
from pricing.words.prices import take_money
from pricing.words.sayings import known, mend_typos, plain_words, ready
from pricing.words.second_thoughts import (
    last_said,
    mark_left_open,
    mark_taken_back,
    with_last_kind,
    with_last_number,
    with_last_word,
    without_asides,
)
from pricing.words.tokens import SAID, Table, Tables, Tokens, tokens_of


def read(text: str, moment: str, tables: Table, own: Table, year_now: int) -> Table:
    """The whole line. moment: "offer", "bench" or "ask"; own: words of record and settings."""
    ready(tables)
    tokens = with_last_number(without_asides(tokens_of(text, own.get("mark", "."))))
    tokens = with_last_word(tokens)
    read_as = mend_typos(tokens, tables, own)
    forms = plain_words([one["w"] for one in tokens], tables)
    _codes_told(tokens, forms, tables)
    fields: list[Field] = []
    _serials(tokens)
    mark_left_open(tokens, forms)
    take_numbers(tokens, tables["numbers"], moment, fields)
    take_years(tokens, fields, year_now)
    mentions = with_last_kind(tokens, mentions_of(tokens, forms, tables, own))
    units = units_of(tokens, mentions, tables)
    narrow_by_words(tokens, units, tables, False)
    units = pair_up(tokens, units, mentions)
    mark_mentions(tokens, mentions)
    units = told_apart(tokens, forms, units)
    narrow_by_words(tokens, units, tables, True)  # "two stoves, one coil, one gas"
    name_again(tokens, units, mentions)
    _not_meant(tokens, forms, moment)
    take_makers(tokens, units, fields, tables, own)
    take_own_features(tokens, fields, own)
    take_place(tokens, fields, tables)
    take_money(tokens, forms, moment, fields, len(units))
    take_said(tokens, forms, fields, moment, units, tables)
    words = [token["w"] for token in tokens]
    named = units if len(units) > 0 else [None]
    heard_units = [blank_unit(one, tables, own, words) for one in named]
    give_fuel(tokens, units, heard_units, fields)
    parts = parts_of(tokens, mentions, units)
    for i in range(len(tokens)):
        if tokens[i]["used"] in SAID["gone"]:
            forms[i] = ""
    read_troubles(tokens, forms, parts, heard_units, moment, tables, own)
    codes = [i for i in range(len(tokens)) if "code" in tokens[i] and tokens[i]["used"] == "fault"]
    fields += [["code", tokens[i]["code"], i] for i in codes]
    tags = tags_of(tokens, forms, parts, heard_units, tables)
    heavy = [field for field in fields if field[0] == "weight" and field[1] >= 75]
    tags += ["weight"] if len(heavy) > 0 and "weight" not in tags else []
    fields = [f for f in fields if f[0] != "features" or not _spoilt(tokens, parts, f[2])]
    fields = [f for f in fields if moment != "bench" or f[0] != "volts"]
    fields = last_said(tokens, fields, len(units) < 2)
    answer = gathered(tokens, units, heard_units, fields, moment, tables)
    answer["not_understood"] = left_over(tokens, forms, parts, heard_units, moment, tables)
    answer["asks_back"] = asks(tokens, answer, fields, moment, units)
    answer["tags"] = tags
    goods = [one["type"] for one in units if one["goods"]]
    answer["other_trade"] = [name for name in goods if name not in tables["refused_goods"]]
    answer["read_as"] = read_as
    for field in [field for field in fields if field[0] == "days_listed"]:
        answer["days_listed"] = field[1]
    return answer


def _not_meant(tokens: Tokens, forms: list[str], moment: str) -> None:
    """What is denied, taken back or well says nothing of a fault. "Won't drain pump full of hair":
    at the bench the part begins what was found."""
    _not_that(tokens)
    _denied_next(tokens)
    mark_taken_back(tokens)
    _fine_parts(tokens)
    for i in range(len(tokens) - 2):
        does_not = forms[i] == "not" and forms[i + 1] in SAID["doings"]
        if moment == "bench" and does_not and tokens[i + 2]["w"] in SAID["sells"]:
            tokens[i + 2]["stop"] = max(tokens[i + 2]["stop"], 1)


def _spoilt(tokens: Tokens, parts: Tables, i: int) -> bool:
    """Whether a feature stands in a part that tells a fault ("ice maker doesn't work")."""
    of_it = [part for part in parts if part["start"] <= i < part["end"]]
    cept = [part for part in of_it if tokens[part["start"]]["w"] in ("except", "cept")]
    gone = len(cept) > 0 or len([part for part in of_it if part.get("fault", False)]) > 0
    for one in tokens[i : i + 2] if gone else []:  # what is not read as one is told
        one["unsaid"] = one.get("soft", False)
        one["soft"] = False
    return gone


def _not_that(tokens: Tokens) -> None:
    """ "It's not that it doesn't heat, it just won't turn": the first of them is denied whole."""
    for i in range(1, len(tokens) - 1):
        that = tokens[i]["w"] == "that" and tokens[i - 1]["w"] in SAID["is not"]
        if that and tokens[i + 1]["w"] in ("it", "its", "it's", "the", "they", "i"):
            _idle_from(tokens, i - 1)
    _not_so(tokens)


def _not_so(tokens: Tokens) -> None:
    for i in range(len(tokens) - 1):
        after = words_after(tokens, i, 7)
        if tokens[i]["w"] == "thought" and "but" in after:  # "thought pump but no, it's the hose"
            for one in tokens[i : i + (3 if "no" in after else 2) + after.index("but")]:
                one["used"] = "idle" if one["used"] == "" and one["n"] is None else one["used"]
        elif tokens[i]["w"] in SAID["thinking"] and tokens[i + 1]["w"] in SAID["of it"]:
            j = _idle_from(tokens, i)  # "thought it was the board, it isn't"
            if len([w for w in words_after(tokens, j, 3) if w in SAID["is not"]]) > 0:
                _idle_from(tokens, j)


def _denied_next(tokens: Tokens) -> None:
    """ "Last guy said the gasket, its not, the seal weeps": what was said by hearsay is denied."""
    starts = [i for i in range(len(tokens)) if i == 0 or tokens[i]["stop"] > 0]
    for k in range(1, len(starts)):
        words = [tokens[starts[k]]["w"], *words_after(tokens, starts[k], 4)]
        said = [tokens[starts[k - 1]]["w"], *words_after(tokens, starts[k - 1], 12)]
        teller = [i for i in range(len(said)) if said[i] in SAID["hearsay"]]
        if " ".join(words) in SAID["not so"] and len(teller) > 0:
            for one in tokens[starts[k - 1] + teller[0] : starts[k] + len(words)]:
                one["used"] = "idle" if one["used"] == "" and one["n"] is None else one["used"]


def _idle_from(tokens: Tokens, start: int) -> int:
    """The words from here to the next stop say nothing; their numbers stay. Back: where it ends."""
    j = start
    while j < len(tokens) and (tokens[j]["stop"] == 0 or j == start):
        if tokens[j]["n"] is None:
            tokens[j]["used"] = "idle"
        j += 1
    return j


def _fine_parts(tokens: Tokens) -> None:
    for i in range(len(tokens) - 1):
        if tokens[i]["used"] not in ("", "part") or tokens[i].get("kind", False):
            continue
        size = _well_from(tokens, i)
        before = [one["w"] for one in tokens[max(i - 3, 0) : i]] if tokens[i]["stop"] == 0 else []
        follows = tokens[i + size]["w"] if i + size < len(tokens) else ""
        few = [word for word in before if word in SAID["few"]]
        if len(few) > 0 or follows in SAID["ends well"]:
            continue
        for j in range(i, i + size):
            tokens[j]["used"] = "idle"


def _well_from(tokens: Tokens, i: int) -> int:
    """How many tokens from i say that a part is well; 0 for none."""
    word = tokens[i]["w"]
    moving = word in SAID["parts well"]
    if not moving and word not in SAID["parts tested"]:
        return 0
    j = i + 1
    does = False
    while j < len(tokens) and tokens[j]["stop"] == 0 and j < i + 5:
        goes = moving and tokens[j]["w"] in SAID["does"]
        if not goes and tokens[j]["w"] not in SAID["seems"]:
            break
        works = goes and tokens[j]["w"] in ("works", "work") and word != "maker"
        does = works or (goes and word == "burners" and tokens[j - 1]["w"] in ("all", "burners"))
        j += 1
    if j < len(tokens) and tokens[j]["stop"] == 0 and tokens[j]["w"] in SAID["well"]:
        return j + 1 - i
    return j - i if does else 0


def _serials(tokens: Tokens) -> None:
    """The letters and figures behind "serial" or "model" are a name, nothing else."""
    for i in range(1, len(tokens)):
        word = tokens[i]["w"]
        code = not word.isalpha() and tokens[i]["n"] is None and len(word) > 4
        near = [one for one in tokens[max(i - 2, 0) : i] if one["w"] in SAID["serial"]]
        if code and len(near) > 0 and len([c for c in word if c in DIGITS]) > 0:
            tokens[i]["used"] = "no"


def _shown_code(tokens: Tokens, i: int, tables: Table) -> bool:
    """ "Reads AF on the display", "code LE": a few letters that are no word."""
    one = tokens[i]
    plate = i > 1 and tokens[i - 2]["w"] in ("nameplate", "plate", "tag", "sticker", "label")
    shown = one["stop"] == 0 and tokens[i - 1]["w"] in SAID["shows"]
    if plate or not shown or one["w"][0] == "r" or len(one["w"]) > 4:
        return False
    typed = one["t"].isupper() or tokens[i - 1]["w"] in ("code", "error")
    return typed and not known(one["w"], tables) and one["n"] is None and len(one["w"]) > 1


def _comes_up(tokens: Tokens, i: int) -> bool:
    """ "P1 comes up", "4C flashing": letters and figures that something shows."""
    word = tokens[i]["w"]
    letters = [c for c in word if c not in DIGITS]
    mixed = 0 < len(letters) < 3 and len(letters) < len(word) < 4 and tokens[i]["n"] is None
    after = words_after(tokens, i, 2)
    shown = len(after) > 0 and after[0] in ("code", "error", "flashing", "blinking", "flashes")
    return mixed and word[0] not in DIGITS and (shown or " ".join(after) in SAID["comes up"])


def _code_of_two(tokens: Tokens, i: int) -> bool:
    """ "Error 5E", "code 4 C": a figure and a letter straight after the word for a code."""
    if i == 0 or i + 1 >= len(tokens) or tokens[i - 1]["w"] not in ("code", "error"):
        return False
    figure, letter = tokens[i]["t"], tokens[i + 1]["t"]
    apart = tokens[i]["stop"] + tokens[i + 1]["stop"]
    one = len(letter) == 1 and letter.isalpha() and apart == 0
    return one and len(figure) < 3 and len([c for c in figure if c not in DIGITS]) == 0


def _as_code(tokens: Tokens, forms: list[str], i: int) -> None:
    """The code reads as "error code", and is kept as it was told."""
    tokens[i]["code"] = tokens[i]["t"].upper()
    before = tokens[i - 1]["w"] if i > 0 else ""
    if before in SAID["shows"] and before not in ("code", "error"):
        tokens[i - 1]["used"] = "no"
    for one in tokens[i + 1 : i + 4]:
        if one["w"] in ("display", "screen", "panel", "readout"):
            one["used"] = "no"
    tokens[i]["w"] = "error code"
    forms[i] = "error cod"


def _codes_told(tokens: Tokens, forms: list[str], tables: Table) -> None:
    """A code such as E21, F7, i30 reads as the words "error code"."""
    for i in range(len(tokens)):
        word = tokens[i]["w"]
        if _code_of_two(tokens, i):
            tokens[i]["t"] += tokens[i + 1]["t"]
            tokens[i]["n"] = None
            tokens[i - 1]["used"] = "no"
            tokens[i + 1]["used"] = "no"
            _as_code(tokens, forms, i)
            continue
        if _comes_up(tokens, i):
            _as_code(tokens, forms, i)
            continue
        leg = word in ("l1", "l2")  # the legs of 240 V
        if tokens[i]["n"] is None and 2 <= len(word) <= 4 and word[0] in "efiuld" and not leg:
            if word[len(word) - 1] in "0123456789" and word[1:2] in "0123456789er":
                _as_code(tokens, forms, i)
        elif i > 0 and _shown_code(tokens, i, tables):
            _as_code(tokens, forms, i)
