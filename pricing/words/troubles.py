"""What is wrong with one unit and what was found: sayings first, then signs, by families."""

from typing import Any

from pricing.words.sayings import saying_at
from pricing.words.tokens import SAID, Table, Tokens

UNTOLD = 'not known / "doesn\'t work"'
WORKS = "works; owner upgraded"
WEAK = [UNTOLD, WORKS, "dents or scratches only", "parts missing", "nothing said",
        "door, lid or handle broken"]  # fmt: skip
# Words that deny the word behind them ("no leaks", "not loud").
DENY = ["not", "no", "without", "never", "zero", "isn't", "none"]
PAIRS = [["gas", "electric"], ["top-load", "front-load"]]


def open_side(only: str, sides: list[str]) -> bool:
    """Whether a name for gas (or for top-loaders …) is left open by what is known of the type."""
    pairs = [pair for pair in PAIRS if only in pair]
    return len([pair for pair in pairs if pair[0] not in sides and pair[1] not in sides]) > 0


def side_fits(only: str, sides: list[str], plain: bool) -> bool:
    if only == "" or only in sides:
        return True
    return open_side(only, sides) or (plain and only == "induction")


def side_of(name: str) -> str:
    """
    >>> side_of("no heat (gas)"), side_of("leaks")
    ('gas', '')
    """
    if not name.endswith(")"):
        return ""
    side = name[name.rfind("(") + 1 : -1]
    known = ["gas", "electric", "top-load", "front-load", "induction", "ice machine"]
    return side if side in known else ""


def shown_name(name: str, sides: list[str]) -> str:
    """The name as far as the type bears it: without "(gas)" where gas or electric is open."""
    side = side_of(name)
    if side != "" and open_side(side, sides):
        return name[: name.rfind(" (")]
    return name


def _not_there(name: list[Any], unit: Table) -> bool:
    """A cooktop has no oven, a wall oven no burners, a dryer that "needs gas" no refrigerant."""
    fault, kind = name[2], unit["type"]
    if fault[0:6] == "sealed":
        cold = [f for f in unit["families"] if f in ("fridge", "air", "none")]
        pumps = unit["plain"] or kind[0:4] in ("heat", "all-", "")
        return len(cold) == 0 and not pumps
    if name[1] not in ("range", "air"):
        return False
    if kind.endswith("cooktop"):
        return fault[0:4] == "oven" or fault in ("only bake or only broil works", "door lock stuck")
    if kind == "dehumidifier" or kind[-2:] == "AC":
        return (fault == "blows warm") == (kind == "dehumidifier") and fault in SAID["of air"]
    burning = "burner" in fault or "cooktop" in fault or fault[0:4] == "zone"
    return burning and kind[0:9] in ("wall oven", "double wa")


def fits_unit(name: list[Any], only: str, unit: Table) -> bool:
    """Whether a fault or finding of the tables can be meant of this unit."""
    if name[0] == "fault":
        if _not_there(name, unit):
            return False
        if name[1] not in ("any", "danger") and name[1] not in unit["families"]:
            return False
        side = only if only != "" else side_of(name[2])
        return side_fits(side, unit["sides"], unit["plain"])
    held = [family for family in name[1].split(";") if family in unit["families"]]
    return len(held) > 0 or len(unit["families"]) == 0


def _rank(name: list[Any], only: str, unit: Table) -> float:
    """The lower the better: danger, the families of the type in order, any."""
    if name[1] == "danger":
        place = 0.0
    elif name[1] == "any":
        place = 80.0
    else:
        place = 10.0 + 10 * unit["families"].index(name[1])
    side = side_of(name[2])
    if side != "" and side not in unit["sides"]:
        place += 2 + len(name[2]) / 100
    return place


def best_fault(entries: list[Any], unit: Table, tables: Table) -> list[Any]:
    """The name that the entries of one saying have for this unit: [family, name]; [] for none."""
    best: list[Any] = []
    at = 1000.0
    for entry in entries:
        name = tables["names"][entry[0]]
        if name[0] != "fault" or not fits_unit(name, entry[1], unit):
            continue
        place = _rank(name, entry[1], unit)
        if place < at:
            at = place
            best = [name[1], name[2]]
    return best


def denied(forms: list[str], i: int, start: int) -> bool:
    """Whether "no", "not" or "without" stands right before a form."""
    j = i - 1
    while j >= start:
        if forms[j] != "":
            return forms[j] in DENY or (forms[j] in SAID["passed over"] and denied(forms, j, start))
        j -= 1
    return False


def _denied_saying(forms: list[str], i: int, start: int, words: int) -> bool:
    """ "No leaks", "not loud"; "no" denies three words, "not" two."""
    most = 3 if i > start and forms[i - 1] in ("no", "without", "zero") else 2
    return words <= most and forms[i] not in DENY and denied(forms, i, start)


def faults_said(forms: list[str], start: int, end: int, unit: Table, tables: Table) -> list[Any]:
    """Sayings of faults between two places: [[from, to, family, name, words, denied], …]."""
    found: list[Any] = []
    i = start
    while i < end:
        took = 0
        if forms[i] != "":
            for hit in saying_at(forms, i, end, tables):
                best = best_fault(hit[1], unit, tables)
                more = "".join(forms[hit[0] : end]) != ""
                if hit[0] - i > 1 and forms[hit[0] - 1] == "not" and more:
                    continue  # "oven doesn't" says it alone, "oven doesn't fit" does not
                if len(best) > 0:
                    words = len([f for f in forms[i : hit[0]] if f != ""])
                    no = _denied_saying(forms, i, start, words - (2 if best[0] == "danger" else 0))
                    found.append([i, hit[0], best[0], best[1], words, no])
                    took = hit[0] - i
                    break
        i += took if took > 0 else 1
    return found


def choice_in(choice: str) -> str:
    """A choice of a sign as it is looked for: the beginning of words; small ones are whole."""
    return " " + choice + " " if choice in SAID["whole choices"] else " " + choice


def ready_signs(rows: list[list[Any]]) -> list[list[Any]]:
    """Rows of signs with their choices as they are looked for; done once for a table."""
    ready: list[list[Any]] = []
    for row in rows:
        groups = [[choice_in(one) for one in group] for group in row[1]]
        ready.append([row[0], groups, [choice_in(one) for one in row[2]], *row[3:]])
    return ready


def sign_fits(text: str, groups: list[list[str]], none_of: list[str]) -> bool:
    """Whether the text holds one choice of each group and nothing of none_of."""
    for group in groups:
        hit = False
        for choice in group:
            if text.find(choice) >= 0:
                hit = True
                break
        if not hit:
            return False
    for word in none_of:
        if text.find(word) >= 0:
            return False
    return True


def sign_of(
    text: str, families: list[str], names: list[str], unit: Table, tables: Table
) -> list[Any]:
    """The first sign that fits: [family, name, number of groups, the groups]; [] for none.
    `names`: only these (or all). A sign of no denial does not fit by a denied word ("no noise")."""
    plain = without_one(text, ["no", "not", "without", "zero"])
    for row in _signs_of(families, tables):
        name = tables["names"][row[0]]
        if len(names) > 0 and name[2] not in names:
            continue
        said = text if row[4] else plain
        if not sign_fits(said, row[1], row[2]) or not fits_unit(name, row[3], unit):
            continue
        apart = [pair for pair in row[5] if not _borne(said, pair)]
        if len(apart) == 0:
            return [name[1], name[2], len(row[1]), row[1]]
    return []


def _signs_of(families: list[str], tables: Table) -> list[Any]:
    """The signs of some families, gathered when first needed."""
    by: dict[str, list[Any]] = tables.setdefault("signs_of", {})
    key = "|".join(families)
    if key not in by:
        rows = [row for row in tables["signs"] if tables["names"][row[0]][1] in families]
        ready = ready_signs(rows)
        by[key] = [[*row, _denies(row[1]), _denied_group(row[1])] for row in ready]
    return by[key]


def _borne(text: str, pair: list[Any]) -> bool:
    """Whether a group that holds a denial fits by another of its words, or by a denial beside what
    it is about."""
    return (len(pair[0]) > 0 and sign_fits(text, [pair[0]], [])) or denied_near(text, pair[1])


def _denied_group(groups: list[list[str]]) -> list[list[Any]]:
    """[the other choices of a group that holds a denial ("not", "no", "never"), the group that the
    denial is about] of a sign of several groups."""
    found: list[list[Any]] = []
    for i in range(len(groups) if len(groups) > 1 else 0):
        more = [choice for choice in groups[i] if choice.strip() not in ("not", "no", "never")]
        if len(more) < len(groups[i]):
            found.append([more, groups[i + 1 if i + 1 < len(groups) else i - 1]])
    return found


def denied_near(text: str, group: list[str]) -> bool:
    """Whether a word of the group stands within five words of a denial."""
    for clause in text.split("|"):
        words = clause.strip().split(" ")
        for i in range(len(words)):
            near = " " + " ".join(words[max(i - 4, 0) : i + 6]) + " "
            if words[i] in ("not", "no", "never") and sign_fits(near, [group], []):
                return True
    return False


def _denies(groups: list[list[str]]) -> bool:
    """Whether a choice of a sign is a denial itself ("not & drain")."""
    words = [choice.strip() for group in groups for choice in group]
    return len([w for w in words if w in SAID["denies"] or w[0:3] in ("not", "no ")]) > 0


def without_one(text: str, denials: list[str]) -> str:
    """The text without the word after each of some denials.

    >>> without_one(" no mold heats fine stops ", ["no", "not"])
    ' no heats fine stops '
    """
    out = " "
    skip = False
    for word in text.strip().split(" "):
        if skip and (word in NO_MORE or word in SAID.get("how much", [])):
            continue
        if not skip:
            out += word + " "
        skip = not skip and word in denials
    return out


def text_of(tokens: Tokens, forms: list[str], start: int, end: int, skip: list[str]) -> str:
    """The words between two places as signs read them: negations are "not", numbers in words."""
    text = " "
    bare = False  # "no agitate" is "not agitate" as well
    for i in range(start, end):
        one = tokens[i]
        if one["used"] in skip:
            continue
        word = one["w"]
        apart = one["stop"] > 0 or word in SAID["split"]
        text += "| " if apart and len(text) > 1 else ""
        text += "not " if bare and forms[i] in SAID["doings"] else ""
        bare = word == "no"
        if forms[i] == "not" or forms[i].startswith("not "):
            text += "not "
            if word in ("quit", "quits", "stopped"):
                text += word + " "
            continue
        text += word + " "
        if forms[i] == "one burner":
            text += forms[i] + " "
        elif forms[i] not in ("", word) and forms[i].find(" ") < 0 and len(forms[i]) > 3:
            if not word.startswith(forms[i]):
                text += forms[i] + " "
    return text


# Words between a denial and what it denies: "no smell of gas".
NO_MORE_SAID = "so much as whiff any even sign signs smell smells odor of a trace hint like"
NO_MORE = ["made", "make", "makes", "making", "ever", "had", "has", "on", *NO_MORE_SAID.split(" ")]


def without_denied(text: str) -> str:
    """Two words after "no" or "without" taken out: "no mold" and "no gas smell" are none."""
    words = text.strip().split(" ")
    out = " "
    skip = 0
    for word in words:
        if word in ("no", "without", "never", "not", "zero"):
            skip = 2
            continue
        if skip == 2 and word in NO_MORE:
            continue
        if skip > 0 and word in ("or", "nor"):  # "no mice or bugs"
            skip = 1
            continue
        if word in ("but", "and", "just", "only"):
            skip = 0
        if skip > 0:
            skip -= 1
            continue
        out += word + " "
    return out


def read_part(
    tokens: Tokens, forms: list[str], start: int, end: int, unit: Table, tables: Table
) -> Table:
    """The faults of one part of a line: {names: [[family, name], …], spans: [[from, to], …] that
    they speak for, words: spans of the words they go by, weak: whether only a weak name (broken,
    works, dented) was seen}."""
    text = text_of(tokens, forms, start, end, SAID["not signs"])
    said = faults_said(forms, start, end, unit, tables)
    # "stove works, fridge doesn't": nothing but the kind and a negation
    rest = [forms[k] for k in range(start, end) if forms[k] != "" and "part" not in tokens[k]]
    if rest == ["not"] and len(said) == 0:
        return whole_part(["any", UNTOLD], start, end, True)
    denied_hits = [hit for hit in said if hit[5] and hit[3] != WORKS]
    said = [hit for hit in said if not hit[5]]
    away = [[hit[0], hit[1]] for hit in denied_hits]
    got: Table = {"names": [], "spans": away, "words": [*away], "weak": False}
    signs: Table = {"text": text, "unit": unit, "tables": tables, "part": [start, end]}
    signs["tokens"] = tokens
    signs["forms"] = forms
    signs["free"] = len(denied_hits) == 0
    _take([hit for hit in said if hit[2] == "danger"], got)
    if len(got["names"]) == 0:
        whole = text_of(tokens, forms, start, end, ["their_price", "miles", "age", "place"])
        sign = sign_of(without_denied(whole), ["danger"], [], unit, tables)
        _take_sign(sign, signs, got)
    told = [h for h in said if h[3] == UNTOLD]
    if len(told) == 1 and len(got["names"]) == 0 and _covers(forms, tokens, start, end, told[0]):
        return whole_part([told[0][2], UNTOLD], start, end, True)
    pair = sign_of(text, unit["families"], tables["together"], unit, tables)
    if len(pair) > 0 and pair[2] > 1 and len(got["names"]) == 0:
        names = [[pair[0], pair[1]]]
        for hit in said:
            if hit[3] in tables["together"] and hit[4] > 2 and hit[2] != "danger":
                names = [[hit[2], hit[3]]]
        spans = [[start, end]]
        words = [*words_of_sign(pair[3], signs), *[[hit[0], hit[1]] for hit in said]]
        return {"names": names, "spans": spans, "words": words, "weak": False}
    _add_plain(said, got, signs)
    got["weak"] = len(got["names"]) == 0
    _add_weak(said, got, signs)
    return got


def whole_part(name: list[Any], start: int, end: int, weak: bool) -> Table:
    """One name that all words of a part speak of."""
    return {"names": [name], "spans": [[start, end]], "words": [[start, end]], "weak": weak}


def _take(hits: list[Any], got: Table) -> None:
    for hit in hits:
        if [hit[2], hit[3]] not in got["names"]:
            got["names"].append([hit[2], hit[3]])
        got["spans"].append([hit[0], hit[1]])
        got["words"].append([hit[0], hit[1]])


def _take_sign(sign: list[Any], signs: Table, got: Table) -> None:
    """A sign counts where nothing was said before it; it speaks for the whole part."""
    if len(sign) > 0 and len(got["names"]) == 0:
        got["names"].append([sign[0], sign[1]])
        got["spans"].append(signs["part"])
        got["words"] += words_of_sign(sign[3], signs)


def words_of_sign(groups: list[list[str]], signs: Table) -> list[list[int]]:
    """The tokens of a part that a sign goes by, as spans; a denial belongs to it."""
    start, end = signs["part"]
    sought: list[str] = []
    for group in groups:
        sought += " ".join(group).split(" ")
    found: list[list[int]] = []
    for i in range(start, end):
        form = signs["forms"][i]
        hit = form[0:3] == "not" or "code" in signs["tokens"][i]
        for word in [one for one in sought if one != ""]:
            for said in (signs["tokens"][i]["w"], form):
                hit = hit or said == word or (len(word) > 2 and said.startswith(word))
        if hit:
            found.append([i, i + 1])
    return found


def _apart(hit: list[Any], got: Table) -> bool:
    """Whether a saying has a word of its own beside those of a danger ("a buzz in her fingers")."""
    taken = [i for span in got["words"] for i in range(span[0], span[1])]
    return len(got["names"]) == 0 or len([i for i in range(hit[0], hit[1]) if i not in taken]) > 0


def _add_plain(said: list[Any], got: Table, signs: Table) -> None:
    """The faults of a part: by a sign where the sayings are short, else by the sayings."""
    unit, tables = signs["unit"], signs["tables"]
    strong = [h for h in said if h[2] != "danger" and h[3] not in WEAK and _apart(h, got)]
    longest = max([0, *[hit[4] for hit in strong]])
    sign: list[Any] = []
    if longest < 2 and signs["free"]:
        sign = sign_of(signs["text"], ["any"], SAID["strong any"], unit, tables)
        if len(sign) == 0:
            sign = sign_of(signs["text"], unit["families"], [], unit, tables)
    if len(sign) > 0 and (longest == 0 or sign[2] > 1):
        _take_sign(sign, signs, got)
    else:
        _take(strong, got)


def _add_weak(said: list[Any], got: Table, signs: Table) -> None:
    """ "Works", "broken", "dented": where nothing narrower was said, and "works" in any case."""
    plate = sign_fits(signs["text"], [[" serial", " plate", " tag ", " sticker", " number"]], [])
    away = ["dents or scratches only", "parts missing"] if plate else []
    weak = [hit for hit in said if hit[3] in WEAK and hit[3] not in away]
    only = signs["text"].find(" only ") >= 0  # "only works on low"
    runs = [i for i in range(signs["part"][0], signs["part"][1]) if _of_a_part(i, signs)]
    weak = [hit for hit in weak if hit[3] != WORKS or not (only or hit[0] in runs)]
    _take([hit for hit in weak if got["weak"] or hit[3] == WORKS], got)
    if len(got["names"]) == 0 and signs["free"]:
        sign = sign_of(signs["text"], ["any"], [], signs["unit"], signs["tables"])
        well = (only or len(runs) > 0) and sign[1:2] == [WORKS]
        _take_sign([] if well else sign, signs, got)


def _of_a_part(i: int, signs: Table) -> bool:
    """Whether "runs" stands behind the name of a part: "the fan runs" says nothing of the unit."""
    if i == signs["part"][0] or signs["tokens"][i]["w"] not in SAID["does"]:
        return False
    before = signs["tokens"][i - 1]
    part = before["w"] in SAID["parts well"] or before["w"] in SAID["parts tested"]
    return part and bool(before["used"] == "")


def _covers(forms: list[str], tokens: Tokens, start: int, end: int, hit: list[Any]) -> bool:
    """Whether a saying is all that a part says of the unit."""
    for i in range(start, end):
        if hit[0] <= i < hit[1] or forms[i] in ("", "and", "all", "at", "just") or tokens[i]["n"]:
            continue
        return False
    return True


def mark(tokens: Tokens, spans: list[Any]) -> None:
    """Note the words of faults and findings as used; a number is never taken for part of one."""
    for span in spans:
        for one in tokens[span[0] : span[1]]:
            counts = one["n"] is not None and not (one.get("spelled", False) and one["n"] < 5)
            if one["used"] == "" and not counts:
                one["used"] = "fault"


def findings_said(forms: list[str], start: int, end: int, unit: Table, tables: Table) -> list[Any]:
    """Sayings of findings between two places: [[from, to, name, words], …]."""
    found: list[Any] = []
    i = start
    while i < end:
        took = 0
        if forms[i] != "":
            for hit in saying_at(forms, i, end, tables):
                name = _finding(hit[1], unit, tables)
                if name != "":
                    words = len([f for f in forms[i : hit[0]] if f != ""])
                    found.append([i, hit[0], name, words])
                    took = hit[0] - i
                    break
        i += took if took > 0 else 1
    return found


def _finding(entries: list[Any], unit: Table, tables: Table) -> str:
    for entry in entries:
        name = tables["names"][entry[0]]
        if name[0] == "finding" and fits_unit(name, entry[1], unit):
            return str(name[2])
    return ""


def tidy_faults(
    named: list[Any], several: bool, sides: list[str], wider: dict[str, list[str]]
) -> list[str]:
    """The names in order, once each: what is broken before "works", the narrower first."""
    names: list[str] = []
    danger = False
    for one in named:
        if one[1] not in names:
            names.append(one[1])
        danger = danger or one[0] == "danger"
    names = [n for n in names if n != "nothing said"]
    firm = [n for n in names if n not in (WORKS, UNTOLD)]
    names = [n for n in names if n != WORKS or not danger or "pests" in names]
    if len([n for n in firm if n not in SAID["no trouble"]]) > 0:  # "dead, been sitting a month"
        firm = [n for n in firm if n != "worked when stored"]
    ordinary = [one[1] for one in named if one[0] != "danger" and one[1] in firm]
    if len(ordinary) > 0:
        names = firm
    elif len(firm) > 0:
        names = [n for n in names if n != UNTOLD]
    if UNTOLD in names and WORKS in names:
        names = [n for n in names if n != WORKS]
    for wide in wider:
        if several:  # "one warm, one dead": of two units, both stand
            break
        if wide in names and len([n for n in names if n in wider[wide]]) > 0:
            names = [n for n in names if n != wide]
    return list(dict.fromkeys([shown_name(n, sides) for n in names]))
