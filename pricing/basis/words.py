"""The person's words to ours: types, conditions, outcomes, faults, makers, and lists; numpy-free,
light enough for every answer.

A word we do not know is kept as the person wrote it (lower-case, blanks trimmed): a word table
never decides what may be recorded. The person's own words in `pricing.toml` come first, then types
and faults that the settings declare, then the tables here. The tables hold everyday English, US and
British, from memory.
"""

import re
import unicodedata
from functools import lru_cache

from pricing.basis import assumed, word_tables
from pricing.basis.columns import BY_NAME
from pricing.basis.settings import Settings
from pricing.words.sayings import plain_words, ready
from pricing.words.tables import load
from pricing.words.tokens import tokens_of

WORD_COLUMNS = frozenset(
    column.name for column in BY_NAME.values() if column.kind in ("word", "words", "graded")
)
BLANK_WORDS = frozenset(("", *word_tables.TABLES["says nothing"][0].split(", ")))
_OWN_TABLE = {
    "type": "types",
    "condition": "conditions",
    "outcome": "outcomes",
    "fault": "faults",
    "found": "faults",
}


def squash(text: str) -> str:
    """Letters and digits only, lower-case, single blanks: the key by which words are compared.

    >>> squash("  Front-Load  WASHER. "), squash("won’t drain")
    ('front load washer', 'won t drain')
    """
    return " ".join(
        "".join(
            c if c.isalnum() else " " for c in unicodedata.normalize("NFKC", text).casefold()
        ).split()
    )


def tidy(text: str) -> str:
    """Lower-case, outer blanks off, inner ones single; everything else as written."""
    return " ".join(text.split()).lower()


def canonical(column: str, text: str, settings: Settings) -> str:
    """Our word for what the person wrote in a word column; "" for blank, or for a word that says
    "not known".

    Columns that hold no words are returned trimmed. A `words` column comes back as a canonical
    sorted list "a; b".

    >>> from pricing.basis.settings import Settings
    >>> (canonical("type", "Front Loader", Settings()),
    ...  canonical("condition", "Like-New", Settings()),
    ...  canonical("outcome", "Parts out", Settings()))
    ('front-load washer', 'like new', 'parted')
    >>> canonical("features", "Steam, Stainless Steel", Settings())
    'stainless; steam'
    """
    if column not in WORD_COLUMNS:
        return text.strip()
    if BY_NAME[column].kind == "words":
        return "; ".join(
            sorted({word for part in split_list(text) if (word := _one(column, part, settings))})
        )
    return _one(column, text, settings)


def _one(column: str, text: str, settings: Settings) -> str:
    plain = tidy(text)
    key = squash(text)
    if not key:
        # "-", "?", "..." say nothing; other signs are kept
        return plain if len(plain) > 3 and column != "condition" else ""
    if own := _own_word(column, plain, key, settings):
        return own
    if key in BLANK_WORDS:
        return ""
    if column == "type":
        return _type(plain, key)
    if column in ("fault", "found"):
        return _FAULT_KEYS.get(key, plain)
    table = _TABLES.get(column)
    if table is None:
        return plain
    if column == "outcome":
        return table.get(key) or _OUTCOMES_ABROAD.get(key) or _outcome(key) or plain
    return table.get(key, plain)


def _own_word(column: str, plain: str, key: str, settings: Settings) -> str:
    """The word that the settings give: [words.…] first, then declared types and faults."""
    name = _OWN_TABLE.get(column)
    if name is None:
        return ""
    for theirs, ours in settings.words.get(name, {}).items():
        if squash(theirs) == key:
            return tidy(ours)
    declared: tuple[str, ...] = ()
    if column == "type":
        declared = (*settings.assumed_types, *settings.usual_price)
    elif column in ("fault", "found"):
        declared = tuple(settings.assumed_faults)
    return next((word for word in declared if word == plain or squash(word) == key), "")


def family_of(type_name: str, settings: Settings) -> str:
    """The family a type is pooled in: from the starting table, else by a word in its name, else
    "other".

    >>> from pricing.basis.settings import Settings
    >>> (family_of("wall oven", Settings()), family_of("heat-pump dryer", Settings()),
    ...  family_of("kettle", Settings()))
    ('cooking', 'laundry', 'other')
    """
    own = settings.assumed_types.get(type_name, {}).get("family")
    if own:
        return str(own)
    return _family(type_name)


@lru_cache(maxsize=4096)
def _family(type_name: str) -> str:
    row = next((row for row in assumed.TYPES if row.type == type_name), None)
    if row is not None:
        return row.family
    words = set(squash(type_name).split())
    return next((family for family, signs in FAMILY_SIGNS if words & signs), "other")


FAMILY_SIGNS = tuple(
    (family, frozenset(signs.split(", ")))
    for family, _, signs in (x.partition(" = ") for x in word_tables.TABLES["family signs"])
)


def split_list(text: str) -> list[str]:
    """The entries of a list cell: at ";", "|" and line ends, or, where none stands there, at
    commas; outer blanks trimmed.

    >>> (split_list("steam; ice and water"), split_list("steam, stainless"),
    ...  split_list("7 kg / 1200 rpm"))
    (['steam', 'ice and water'], ['steam', 'stainless'], ['7 kg / 1200 rpm'])
    """
    parts = re.split(r"[;|\n\r]+", text)
    if len(parts) == 1:
        parts = re.split(r",(?!\d{3}\b)", text)
    return [part for part in (part.strip() for part in parts) if part]


def type_in(text: str, settings: Settings) -> tuple[str, str]:
    """The type named somewhere in free words, and what is left of the words; ("", text) where none
    is named.

    >>> from pricing.basis.settings import Settings
    >>> type_in("Elec dryer 8yr no heat", Settings())
    ('electric dryer', '8yr no heat')
    """
    spans = [
        (match.start(), match.end()) for match in re.finditer(r"[^\W_]+(?:['’][^\W_]+)?", text)
    ]
    for size in range(min(6, len(spans)), 0, -1):
        for first in range(len(spans) - size + 1):
            start, end = spans[first][0], spans[first + size - 1][1]
            phrase = text[start:end]
            if "," in phrase or ";" in phrase:
                continue
            key = squash(phrase)
            found = _own_word("type", tidy(phrase), key, settings) or _type_key(key)
            if found:
                left = f"{text[:start].rstrip(' ,;-–')} {text[end:].lstrip(' ,;-–')}".strip()
                return found, left
    return "", text


@lru_cache(maxsize=65_536)
def _type(plain: str, key: str) -> str:
    """The type of a cell: a name or saying of the tables; else what the reader of plain words hears
    in it ("washer, front load", "white electric dryer 27 in"), only where every word is
    understood."""
    if found := _type_key(key):
        return found
    from pricing.words.reader import read

    heard = read(plain, "ask", load("said"), {}, 2100)
    told = heard["read"]
    if heard["not_understood"] or heard["asks_back"] or set(told) - LOOKS or "each" in heard:
        return plain
    kinds = heard.get("kinds")
    return next((word for word, may in _kinds().items() if may == kinds), told.get("type", plain))


# What may stand beside the type in a cell of types and changes nothing.
LOOKS = frozenset({"type", "finish", "size", "fuel"})


def _kinds() -> dict[str, list[str]]:
    return load("said")["kinds"]


@lru_cache(maxsize=65_536)
def _type_key(key: str) -> str:
    """The type or plain word whose name or saying this is; "" for none."""
    if key in _NAMES:
        return _NAMES[key]
    tables = ready(load("said"))
    words = [tables["typos"].get(token["w"], token["w"]) for token in tokens_of(key)]
    form = " ".join(part for part in plain_words(words, tables) if part)
    for place, _ in tables["sayings"].get(form, ()):
        kind, _, name = tables["names"][place][:3]
        if kind in ("type", "plain word"):
            return str(name)
    return ""


def _keys(table: str) -> dict[str, str]:
    keys = word_tables.read(word_tables.TABLES[table])
    return {squash(ours): ours for ours in keys.values()} | keys


_NAMES = {squash(row.type): row.type for row in (*assumed.TYPES, *assumed.PLAIN_TYPES)}
_FAULT_KEYS = {squash(row.fault): row.fault for row in assumed.FAULTS} | _keys("faults")
_TABLES: dict[str, dict[str, str]] = {
    "condition": _keys("conditions"), "outcome": _keys("outcomes"),
    "features": _keys("features"), "fuel": _keys("fuels"),
    "finish": _keys("finishes"), "tier": _keys("tiers"),
}  # fmt: skip
_OUTCOMES_ABROAD = _keys("outcomes_abroad")
TYPE_KEYS = frozenset(_NAMES)
FAULT_KEYS = frozenset(_FAULT_KEYS)
WORD_KEYS = {column: frozenset(table) for column, table in _TABLES.items()}


def column_words(column: str) -> dict[str, str]:
    """Everyday words of one column, as compared (`squash`), with our word for each; empty for
    columns without a table.

    >>> column_words("fault")["not heating"]
    'no heat'
    """
    if column in ("fault", "found"):
        return dict(_FAULT_KEYS)
    return dict(_TABLES.get(column, {}))


def _outcome(key: str) -> str:
    """An outcome from a longer remark ("parted out, door kept"), by its first sure word."""
    words = key.split()
    if not words or len(words) > 8:
        return ""
    if words[0] == "not" or "not" in words[:3]:
        return "listed" if "sold" in words else ""
    for size in (3, 2, 1):
        for first in range(len(words) - size + 1):
            found = (
                _TABLES["outcome"].get(" ".join(words[first : first + size]))
                if size > 1 or len(words[first]) > 3
                else None
            )
            if found and (size > 1 or first == 0):
                return found
    return ""
