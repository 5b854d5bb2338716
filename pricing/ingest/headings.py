"""The person's headers to our columns: which line is the header, what each cell of it means, in
which unit.

Strong names mean one thing; weak names ("price", "date", "cost") mean it only where no strong name
of the file does. What the person said before (--header, [headers] in pricing.toml,
data/headings.json) comes first.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

from pricing.basis import word_tables
from pricing.basis.columns import BY_NAME
from pricing.basis.frozen import frozen

HELD = word_tables.sections(Path(__file__).with_name("header_names.txt"))


def names_of(entries: list[str]) -> tuple[dict[str, str], dict[str, str]]:
    """(strong name -> column, weak name -> column) of one of the tables.

    >>> names_of(["sold = date sold, sold on | date"])
    ({'sold': 'sold', 'date sold': 'sold', 'sold on': 'sold'}, {'date': 'sold'})
    """
    strong: dict[str, str] = {}
    weak: dict[str, str] = {}
    for entry in entries:
        column, _, names = entry.partition(" = ")
        sure, _, faint = names.partition(" | ")
        own = column.replace("_", " ")
        for name in (*(() if own in faint.split(", ") else (own,)), *sure.split(",")):
            strong.setdefault(name.strip(), column)
        for name in filter(None, faint.split(",")):
            weak.setdefault(name.strip(), column)
    return strong, weak


def listed(name: str) -> list[str]:
    """The words of a table that is only a list."""
    return [word.strip() for entry in HELD[name] for word in entry.split(",")]


IGNORED = "ignore"
QUESTION_COLUMNS = ("their_price", "fix_chance", "offered", "minutes", "at_curb")

_COMPUTED = frozenset(name.strip() for name in ", ".join(HELD["computed"]).split(","))
REASON = "not read because"  # the column that rejected.csv adds; a mended file is read without it
_UNIT_WORDS = word_tables.read(HELD["units"])
# what an amount under such a heading is to be multiplied with
SCALES = {"cents": Decimal("0.01"), "thousands": Decimal(1000), "ten thousands": Decimal(10_000)}
CURRENCY_SIGNS = dict(entry.split(" = ") for entry in HELD["signs"])
CURRENCY_CODES = frozenset(listed("currencies"))
# Part of the name, not a unit behind it
_WORDS_ALONE = frozenset(listed("alone"))


@frozen
class Heading:
    """What one header cell means. text: as written; column: ours, an own attribute, a question
    column, "" for unknown, IGNORED; unit, currency: as it names them; slip: mended; how: "said" by
    the person, or shown by the "values"."""

    text: str
    column: str = ""
    unit: str = ""
    currency: str = ""
    weak: bool = False
    slip: bool = False
    how: str = ""


def taken(
    headings: Sequence[Heading], rows: Iterable[Sequence[str]], most: int = 5
) -> list[tuple[str, str, list[str]]]:
    """Each heading as written, what it was taken for, and its first different values.

    >>> taken([Heading("What", "type")], [["dryer"], ["dryer"], ["range"]])
    [('What', 'type', ['dryer', 'range'])]
    """
    values: list[dict[str, None]] = [{} for _ in headings]
    for cells in rows:
        for seen, cell in zip(values, cells, strict=False):
            if len(seen) < most and cell.strip():
                seen[cell.strip()] = None
    pairs = zip(headings, values, strict=True)
    return [(one.text, one.column, list(seen)) for one, seen in pairs if one.text or seen]


def place_of(headings: Sequence[Heading], column: str) -> int | None:
    """Where a column stands, None where none of the headings is it."""
    return next((at for at, heading in enumerate(headings) if heading.column == column), None)


@lru_cache(maxsize=1 << 14)
def plain(text: str) -> str:
    """A header without case, signs, underscores and camelCase; "#" reads as "no".

    >>> plain("Sale_Price"), plain("saleDate"), plain(" Item #: ")
    ('sale price', 'sale date', 'item no')
    """
    text = unicodedata.normalize("NFKC", text).replace("№", " no ").replace("#", " no ")
    text = text.replace("İ", "i")
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text)
    return " ".join("".join(c if c.isalnum() else " " for c in text.casefold()).split())


@lru_cache(maxsize=1)
def _strong_and_weak() -> tuple[dict[str, str], dict[str, str]]:
    strong, weak = names_of(HELD["columns"])
    abroad, faint = names_of(HELD["abroad"])
    ours = strong | weak
    foreign = {name: column for name, column in abroad.items() if name not in ours}
    return strong | foreign, faint | weak


# "k€", "eFt", "in TEUR", "тыс. руб"
_MONEY_WORD = r"(?:[$€£¥]|ft|eur|usd|gbp|chf|kč|zł|kr|руб\.?)"
_OF_THOUSANDS = re.compile(
    rf"(?:in )?(?:{_MONEY_WORD} ?)?(?:k|t|e|th|tsd|tys|tis|тыс|ezer|'?000s?)\.? ?{_MONEY_WORD}"
    rf"|{_MONEY_WORD} ?(?:k|'?000s?)"
)


@lru_cache(maxsize=1)
def _question_names() -> dict[str, str]:
    return names_of(HELD["questions"])[0]


def split_unit(text: str) -> tuple[str, str, str]:
    """A header without its unit: (name, unit, currency).

    >>> split_unit("Age (YEARS)"), split_unit("Paid (£)"), split_unit("time min")
    (('Age', 'years', ''), ('Paid', '', 'GBP'), ('time', 'minutes', ''))
    """
    unit = currency = ""
    text = unicodedata.normalize("NFKC", text)
    name = text
    for match in re.finditer(r"[(\[{<]([^)\]}>]*)[)\]}>]", text):
        inside = match[1].strip().casefold().rstrip(".")
        rest = re.sub(r"^(in|us|approx|est)\W*", "", inside)
        if inside.upper() in CURRENCY_CODES:
            currency = inside.upper()
        elif _OF_THOUSANDS.fullmatch(inside):
            unit = "thousands"
        elif inside in CURRENCY_SIGNS:
            currency = CURRENCY_SIGNS[inside]
        elif inside in _UNIT_WORDS:
            unit = _UNIT_WORDS[inside]
        elif rest in _UNIT_WORDS or rest.upper() in CURRENCY_CODES:
            unit = _UNIT_WORDS.get(rest, "")
            currency = rest.upper() if rest.upper() in CURRENCY_CODES else ""
        elif match.start() == 0:
            continue  # the whole header stands in brackets
        name = name.replace(match[0], " ")
    for sign, code in CURRENCY_SIGNS.items():
        if not sign.isalpha() and sign in name:
            currency, name = code, name.replace(sign, " ")
    name = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])", " ", name.replace("_", " "))
    words = name.strip(" :.-/,").split()
    last = words[-1].strip(":.,").casefold() if len(words) > 1 else ""
    if last.upper() in CURRENCY_CODES:
        currency = last.upper()
        words.pop()
    elif last in _UNIT_WORDS and last not in _WORDS_ALONE:
        unit = _UNIT_WORDS[last]
        words.pop()
    return " ".join(words) if words else text.strip(), unit, currency


def known_column(text: str, own: Mapping[str, str], question: bool = False) -> tuple[str, bool]:
    """(column, weak) a header cell names on its own; ("", False) where it names none. own: plain
    header -> column, said by the person."""
    key = plain(text)
    if not key:
        return "", False
    if key in own:
        return own[key], False
    if key.startswith(REASON):
        return IGNORED, False
    strong, weak = _strong_and_weak()
    names = list(dict.fromkeys((key, *(plain(form) for form in _forms(text)))))
    if question:
        for name in names:
            if name in _question_names():
                return _question_names()[name], False
    for table, faint in ((strong, False), (weak, True)):
        for name in names:
            if name in table:
                return table[name], faint
    if event := _by_parts(text) or _MEASURED.get(split_unit(text)[1], ""):
        return event, True
    return _in_two_languages(text) or _with_lost_letters(text) or "", False


_EVENT_WORDS = word_tables.read(HELD["events"])
_OF_DAY, _OF_MONEY, _BETWEEN, _EACH, _BESIDE_NOUN = (
    frozenset(listed(name)) for name in ("of a day", "of money", "between", "each", "beside nouns")
)
_NOUNS = word_tables.read(HELD["nouns"])


# a heading that says only in what it counts: "Weg (km)"
_MEASURED = {"km": "miles", "miles": "miles", "hours": "hours"}


def _by_parts(text: str) -> str:
    """What a heading is that names an event and its day or money, and nothing else.

    >>> _by_parts("Date pulled"), _by_parts("acquired_at"), _by_parts("Gross sale proceeds ($)")
    ('got', 'got', 'price')
    """
    name, unit, currency = split_unit(text)
    said = re.sub(r"\b(?:put|went|goes) up\b", "listed", plain(name))
    words = re.sub(r"\bpicked up\b", "got", said).split()
    left = {*words} - _BETWEEN - _EACH
    if left & {*_NOUNS, "cost"}:
        return _by_noun(left, bool(currency or _EACH & {*words}), len(words) > 1)
    events = {_EVENT_WORDS[word] for word in left & _EVENT_WORDS.keys()}
    about = left - _EVENT_WORDS.keys()
    money = bool(about & _OF_MONEY or currency or unit in SCALES)
    flow = left & {"in", "out"} and about & _OF_MONEY  # cash that came in, or what was put in
    if len(events) != 1 or flow or not (about or money) or about - _OF_DAY - _OF_MONEY:
        return ""
    event = events.pop()
    return _MONEY_OF[event] if money else event


def _by_noun(left: set[str], told: bool, longer: bool) -> str:
    """What a heading is by "parts", "hours", "cost", "tag" and what stands beside it; told: a sign
    of money or "each" does."""
    nouns = {_NOUNS.get(word, "paid") for word in left if word in (*_NOUNS, "cost")}
    beside = left - _NOUNS.keys() - _BESIDE_NOUN
    if nouns == {"paid"}:
        return "paid" if longer and left == {"cost"} else ""
    noun = (nouns - {"paid"}).pop()
    if len(nouns - {"paid"}) > 1 or not longer or not beside <= _OF_MONEY:
        return ""
    return noun if (not beside if noun == "hours" else beside or told) else ""


def _in_two_languages(text: str) -> str:
    """The column that all sides of "Verkaufspreis / Sale price" name."""
    sides = re.split(r"\s*[/|\n]\s*", text.strip())
    named = {known_column(side, {})[0] for side in sides} if len(sides) == 2 else set()
    return named.pop() if len(named) == 1 else ""


@lru_cache(maxsize=1 << 12)
def _with_lost_letters(text: str) -> str:
    """The column of a heading with "?" for letters that the file's alphabet did not have."""
    if not re.search(r"\w[?\ufffd]\w", text):
        return ""
    signs = re.split(r"[?\ufffd]", " ".join(text.casefold().split()))
    form = re.compile(".".join(map(re.escape, signs)))
    named = {column for name, column in _strong_and_weak()[0].items() if form.fullmatch(name)}
    return named.pop() if len(named) == 1 else ""


def _forms(text: str) -> Iterator[str]:
    """A header without its unit, without "round trip", and without the number of its column."""
    yield split_unit(text)[0]
    yield split_unit(_ONE_WAY.sub("", BOTH_WAYS.sub("", text)))[0]
    if numbered := _NUMBERED.match(text):
        yield split_unit(text[numbered.end() :])[0]
    yield _BESIDE_NAME.sub("", plain(split_unit(text)[0]))


def count_known(cells: Iterable[str], own: Mapping[str, str] | None = None) -> int:
    """How many distinct columns a record's cells name; 0 where its longest cell is no header."""
    found = set()
    for cell in cells:
        if len(cell) <= 60 and (column := known_column(cell, own or {})[0]):
            money = column in _MONEY_OF and split_unit(cell)[2]
            found.add(_MONEY_OF[column] if money else column)
    return len(found)


def read_header(
    cells: Sequence[str], own: Mapping[str, str], question: bool = False
) -> tuple[list[Heading], dict[str, list[int]]]:
    """What each cell means, and the columns that more than one cell could be (column -> positions),
    strong names before weak ones."""
    found: list[Heading] = []
    for cell in cells:
        _, unit, currency = split_unit(cell)
        column, weak = known_column(cell, own, question)
        unit = _unit_in_name(cell, column, unit)
        if plain(cell) not in own:
            column, weak = _said_beside(cell, column, currency, weak)
        how = "said" if column and plain(cell) in own else ""
        found.append(Heading(cell.strip(), column, unit, currency, weak, how=how))
    _mend_slips(found)
    clashes: dict[str, list[int]] = {}
    for column in {heading.column for heading in found if heading.column not in ("", IGNORED)}:
        places = [place for place, heading in enumerate(found) if heading.column == column]
        strong = [place for place in places if not found[place].weak]
        said = [place for place in places if plain(found[place].text) in own]
        keep = said or strong or places
        for place in places:
            if place not in keep:
                found[place] = Heading(
                    found[place].text, "", found[place].unit, found[place].currency
                )
        if len(keep) > 1:
            clashes[column] = keep
    return found, clashes


def _said_beside(text: str, column: str, currency: str, weak: bool) -> tuple[str, bool]:
    """What a heading is by the words and signs beside its name: an asking price; the money of
    "$ sold" and "Sold (price)", the day of "Sold (date)".

    >>> _said_beside("Price (asking)", "price", "", True)
    ('asked', True)
    >>> _said_beside("$ sold", "sold", "$", False)
    ('price', False)
    """
    if column == "drive_min" and re.search(r"\b(?:mi|miles?|km|kms)\b", plain(text)):
        return "miles", False
    if column in _MONEY_OF and currency:
        return _MONEY_OF[column], False
    if column in (*_MONEY_OF, *_MONEY_OF.values()) and re.search(r"[(\[]", text):
        return _by_parts(re.sub(r"[()\[\]]", " ", text)) or column, weak
    return column, weak


_MONEY_OF = {"got": "paid", "listed": "asked", "sold": "price"}
BOTH_WAYS = re.compile(
    r"\b(?:round ?-?trip|both ways|there and back|return|rt|2 ?ways|two ways|hin[ -]*und[ -]*zurück"
    r"|hin[ -]*und[ -]*rück(?:fahrt|weg)|aller[ -/]*retour|a/r|ida y vuelta|ida e volta"
    r"|andata e ritorno|heen en (?:weer|terug)|retour|tam i z powrotem|в оба конца"
    r"|туда (?:и )?обратно|tur och retur|tur[ -/]*retur|t/r|tam a zpět|oda-vissza)\b|往復",
    re.IGNORECASE,
)
_ONE_WAY = re.compile(r"\b(?:one|each|1)[ -]way\b|片道|\beinfach\b|\baller simple\b", re.IGNORECASE)
ROUND, ROUND_KM = "miles both ways", "km both ways"
# words beside a name that change nothing: "Net sale price", "Messo in vendita il"
_BESIDE_NAME = re.compile(
    r"^(?:(?:net|gross|final|actual|my|our|the|original|initial|real|unit|item|product) )+"
    r"|(?: (?:il|le|el|am|op|em|den|dnia|dne|usd|eur|gbp|so far|approx|if sold))+$"
)
_NUMBERED = re.compile(r"^\s*\d{1,2}\s*[.):]\s*")
_SAYING = {
    "hours": ((r"\bh mm\b|\bhmm\b", "h.mm"), (r"\b(?:min|mins|minutes)\b", "minutes")),
    "age": ((r"\b(?:months?|mos?|mths?)\b", "months"),),
}


def _unit_in_name(text: str, column: str, unit: str) -> str:
    """The unit that a heading is itself ("Kilometers", "Months old"), or both ways of a drive.

    >>> _unit_in_name("Kilometers", "miles", ""), _unit_in_name("Miles (round trip)", "miles", "")
    ('km', 'miles both ways')
    """
    words = plain(text)
    for form, said in _SAYING.get(column, ()):
        if not unit and re.search(form, words):
            return said
    if column != "miles":
        return unit
    if re.search(r"\b(?:km|kms|kilomet(?:er|re)s?)\b", words):
        unit = "km"
    if unit == "minutes" or re.search(r"\bm(?:et(?:er|re)s?)?$", words):
        unit = "meters"
    if BOTH_WAYS.search(text):
        return ROUND_KM if unit == "km" else ROUND
    return unit


def _mend_slips(found: list[Heading]) -> None:
    """Take a header with a slip ("Sale prise") for the nearest column, where no other is that."""
    from difflib import get_close_matches

    taken = {heading.column for heading in found}
    strong, _ = _strong_and_weak()
    for place, heading in enumerate(found):
        key = plain(split_unit(heading.text)[0])
        if heading.column or len(key) < 6 or is_computed(heading.text):
            continue
        alike = [name for name in strong if abs(len(name) - len(key)) <= 1]
        for name in get_close_matches(key, alike, n=1, cutoff=0.87):
            if strong[name] not in taken and _is_slip(key, name):
                found[place] = replace(heading, column=strong[name], weak=False, slip=True, how="")
                taken.add(strong[name])


def _is_slip(written: str, meant: str) -> bool:
    """Whether a name is another with letters mistyped in its longer words ("sale prise")."""
    pairs = list(zip(written.split(), meant.split(), strict=False))
    return len(written.split()) == len(meant.split()) and all(
        a == b or (len(a) > 4 and a[0] == b[0]) for a, b in pairs
    )


def is_computed(text: str) -> bool:
    """Whether a header names what the sheet works out (profit, margin): named, not used."""
    return plain(split_unit(text)[0]) in _COMPUTED


def is_units_row(cells: Sequence[str], headings: Sequence[Heading]) -> bool:
    """Whether a record below the header only names units or forms ("years", "£", "dd/mm/yyyy")."""
    said = [cell.strip().strip("()[]").casefold() for cell in cells if cell.strip()]
    if not 2 <= len(said) <= len(headings):
        return False
    signs = {
        "text", "number", "date", "yes/no", "y/n", "one way", "%", "free text", "iso", "currency",
        "money", "category", "list", *_UNIT_WORDS, *CURRENCY_SIGNS,
    }  # fmt: skip
    form = re.compile(r"^[dmyj]{1,4}([-/. ][dmyj]{1,4}){1,2}$")
    return all(word in signs or word.upper() in CURRENCY_CODES or form.match(word) for word in said)


def fingerprint(cells: Sequence[str]) -> str:
    """The shape of a header, by which what was said of one file is found for the next."""
    import hashlib

    return hashlib.sha256("\x1f".join(plain(cell) for cell in cells).encode()).hexdigest()[:16]


def own_names(*tables: Mapping[str, str]) -> dict[str, str]:
    """Plain header -> column from the person's tables, the first table leading; a column may be
    given by any of its everyday names."""
    own: dict[str, str] = {}
    for table in tables:
        for theirs, ours in table.items():
            is_ours = ours in BY_NAME or ours in (IGNORED, "")
            column = ours if is_ours else known_column(ours, {})[0] or ours
            own.setdefault(plain(theirs), column)
    return own
