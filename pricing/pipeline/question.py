"""Questions from words, from options, from a sheet or from the person's own unit number. Imports
are light: every answer pays for them.

    read(words, options, settings, as_of)   one Question: words first, an option replaces what the
        words say
    from_file(path, settings, as_of)        one Question or Problem a row, in the file's order
    from_unit(unit_id, saved, …)            a unit of the record that has not ended

Words are read in any order: numbers by the word beside them ("8 years", "wants 40", "12 miles"),
the rest by the words of the record and of the starting tables. What nobody knows is kept as the
fault, as the maker where it stands beside the type, or named as not understood.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from pricing.basis import assumed, words
from pricing.basis.columns import BY_NAME, is_numeric
from pricing.basis.problems import Problem, Refused, nearest
from pricing.basis.question import BY_KNOWN, Question, checked, years_in

if TYPE_CHECKING:
    from pricing.basis.settings import Settings
    from pricing.ingest.reading import Row

Words = Mapping[str, Collection[str]]  # column -> words that the record holds
_TOLD = (
    "type",
    "maker",
    "tier",
    "age",
    "features",
    "fuel",
    "finish",
    "size",
    "condition",
    "fault",
    "found",
    "repair",
    "got_from",
    "sold_where",
    "listed",
    "model",
    "owner",
)
_PLACED = (
    "type",
    "fault",
    "condition",
    "maker",
    "fuel",
    "features",
    "finish",
    "tier",
    "found",
    "sold_where",
    "got_from",
)  # in this order of belief
MILES_A_KILOMETRE = 0.621371

_NUMBER = r"(\d+(?:[.,]\d+)?|\.\d+)"
_MONEY = rf"[$£€¥₹]?\s*{_NUMBER}"
_NUMBER_WORDS = dict(
    zip(
        (
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
        ),
        range(1, 13),
        strict=True,
    )
) | {"a": 1, "fifteen": 15, "twenty": 20}
# what is read, letters that must be there (compiling a pattern takes longer than using it),
# pattern; the first that fits a stretch of text takes it away, so the order matters
_PATTERNS: tuple[tuple[str, tuple[str, ...], str], ...] = (
    (
        "made",
        ("made", "built", "from", "year"),
        r"\b(?:made|built|from|year)\s+(?:in\s+)?(\d{4}(?:\s*(?:,|/|or|and|to|-|–)\s*\d{4})*)",
    ),
    (
        "made",
        ("19", "20"),
        r"\b((?:19[3-9]|20[0-4])\d(?:\s*(?:,|/|or|and|to|-|–)\s*(?:19[3-9]|20[0-4])\d)*)\b(?!\s*(?:dollars|miles|mi|km|years))(?<!\$)",
    ),
    ("months", ("mo",), rf"\b{_NUMBER}\s*(?:months?|mos?)\b(?:\s*old)?"),
    (
        "age",
        ("y",),
        rf"\b(?:about\s+|maybe\s+|ca\.?\s+)?{_NUMBER}\s*-?\s*(?:years?|yrs?|y/?o|y)\b\.?(?:\s*-?old)?",
    ),
    ("age", ("age",), rf"\baged?\s*:?\s*{_NUMBER}\b"),
    (
        "kilometres",
        ("km", "kilo"),
        rf"\b{_NUMBER}\s*(?:kms?|kilomet(?:re|er)s?)\b(?:\s*(?:away|one\s+way|each\s+way))?",
    ),
    ("miles", ("mi",), rf"\b{_NUMBER}\s*-?\s*(?:miles?|mi)\b(?:\s*(?:away|one\s+way|each\s+way))?"),
    ("drive_min", ("min",), rf"\b{_NUMBER}\s*min(?:utes?)?\s*(?:drive|driving)\b"),
    ("minutes", ("min",), rf"\b{_NUMBER}\s*min(?:utes?)?\b(?:\s*(?:of\s+)?work)?"),
    ("hours", ("h",), rf"\b{_NUMBER}\s*(?:hours?|hrs?|h)\b(?:\s*(?:of\s+)?work)?"),
    ("pays", ("pay",), rf"\b(?:they\s+|owner\s+|will\s+)?pays?\s+(?:me\s+|us\s+|you\s+)?{_MONEY}"),
    ("offered", ("offer",), rf"\b(?:offers?|offered|buyer\s+offers)\s*:?\s*{_MONEY}"),
    ("asked_now", ("asked", "listed"), rf"\b(?:asked|listed\s+at|listed\s+for)\s*:?\s*{_MONEY}"),
    (
        "their_price",
        ("want", "ask", "their price"),
        rf"\b(?:(?:they|owner|he|she)\s+)?(?:wants?|asks|asking|ask|their\s+price)\s*:?\s*(?:for\s+)?{_MONEY}(?:\s*(?:dollars|bucks))?",
    ),
    (
        "price",
        ("sell", "sold", "goes", "worth", "price"),
        rf"\b(?:sells?|sold|goes|worth|price)\s*(?:for|at|about)?\s*:?\s*{_MONEY}",
    ),
    ("parts", ("part",), rf"\bparts?\s*:?\s*{_MONEY}"),
    ("parts", ("part",), rf"{_MONEY}\s*(?:in|of|for)?\s*parts?\b"),
    ("helper", ("helper",), rf"\bhelper\s*:?\s*{_MONEY}"),
    ("of_ten", ("10",), rf"\b{_NUMBER}\s*(?:of|in|out\s+of)\s*10\b"),
    ("percent", ("%", "percent"), rf"\b{_NUMBER}\s*(?:%|percent)\s*(?:chance|sure|to\s+fix)?"),
    ("fix_chance", ("chance",), rf"\b(?:fix\s+)?chance\s*:?\s*{_NUMBER}"),
    ("at_curb", ("curb", "kerb"), r"\b(?:i(?:'|’)?m\s+)?(?:already\s+)?at\s+the\s+(?:curb|kerb)\b"),
    ("free", ("free",), r"\b(?:for\s+)?free\b(?!\s*standing)"),
    (
        "unknown_age",
        ("age", "how old"),
        r"\b(?:age\s+(?:not\s+known|unknown)|no\s+idea\s+how\s+old)\b",
    ),
)
_IDLE = frozenset(
    {
        "a",
        "an",
        "the",
        "with",
        "has",
        "have",
        "had",
        "and",
        "or",
        "is",
        "it",
        "its",
        "it's",
        "in",
        "at",
        "on",
        "of",
        "for",
        "says",
        "said",
        "they",
        "owner",
        "about",
        "but",
    }
    | {
        "not",
        "sure",
        "maybe",
        "new",
        "condition",
        "once",
        "cleaned",
        "away",
        "one",
        "way",
        "each",
        "dollars",
        "bucks",
        "old",
        "used",
        "broken",
        "listed",
        "yet",
    }
)


def read(
    text: str,
    options: Mapping[str, Any],
    settings: Settings,
    as_of: date,
    known: Words | None = None,
    purpose: str = "offer",
) -> Question:
    """The question as understood. Raises Refused naming each number that cannot be.

    options: canonical column names, names of KNOWN, "made", "at_curb" and own attributes, with
    values typed or as text; None is "not given".
    purpose: "offer", "bench" or "ask": a bare amount is the owner's price before a drive, and
    "offered" is only of use at a sale.
    """
    question = (
        from_words(text, settings, as_of, known or {}, purpose) if text.strip() else Question()
    )
    return finished(with_options(question, options, settings), settings, as_of)


def finished(question: Question, settings: Settings, as_of: date) -> Question:
    """Checked, the single year made turned into an age, and said back in our words."""
    if (
        len(question.made) == 1
        and question.unit.get("age") is None
        and question.made[0] <= as_of.year
    ):
        question = replace(
            question, unit={**question.unit, "age": float(as_of.year - question.made[0])}, made=()
        )
    if settings.owner and not question.unit.get("owner"):
        question = replace(
            question,
            unit={**question.unit, "owner": words.canonical("owner", settings.owner, settings)},
        )
    checked(question, settings, as_of)
    return replace(question, as_read=said_back(question, settings))


def from_words(
    text: str, settings: Settings, as_of: date, known: Words, purpose: str = "offer"
) -> Question:
    """What the words say; nothing is refused here."""
    unit: dict[str, Any] = {}
    numbers: dict[str, float] = {}
    made: tuple[int, ...] = ()
    at_curb = False
    warnings: list[str] = []
    text = re.sub(r"(?<=\d),(?=\d{3}\b(?!\s*,?\s*\d{3,}))", "", text.replace("’", "'"))
    text = re.sub(
        r"\b(" + "|".join(_NUMBER_WORDS) + r")(?=\s+(?:years?|miles?|hours?|yrs?)\b)",
        lambda m: str(_NUMBER_WORDS[m[1].lower()]),
        text,
        flags=re.I,
    )
    for name, letters, pattern in _PATTERNS:
        if (purpose != "offer" and name == "free") or not any(
            word in text.lower() for word in letters
        ):
            continue
        match = re.search(pattern, text, re.I)
        if match is None:
            continue
        if name == "made" and unit.get("age") is None and not made:
            made = years_in(match[1])
        elif name == "at_curb":
            at_curb = True
        elif name == "free":
            numbers.setdefault("their_price", 0.0)
        elif name != "unknown_age":
            _take(name, _float(match[1]), unit, numbers, settings)
        text = f"{text[: match.start()]},{text[match.end() :]}"
    left = _read_phrases(text, unit, settings, known)
    for phrase in left:
        amount = re.fullmatch(_MONEY, phrase)
        if amount and purpose == "offer" and "their_price" not in numbers:
            numbers["their_price"] = _float(amount[1])
        elif amount and purpose == "ask" and "$" in phrase and "asked_now" not in numbers:
            numbers["asked_now"] = _float(amount[1])
        elif purpose != "ask" and not unit.get("fault") and re.search(r"[a-z]", phrase):
            unit["fault"] = words.canonical("fault", phrase, settings) or phrase
        else:
            warnings.append(f'I did not understand "{phrase}" and left it out.')
    if unit.get("fault") == "works; owner upgraded" and purpose == "ask":
        unit.pop("fault")
    return Question(unit, numbers, made, at_curb, tuple(warnings))


def _take(
    name: str, value: float, unit: dict[str, Any], numbers: dict[str, float], settings: Settings
) -> None:
    if name == "age":
        unit["age"] = value
    elif name == "months":
        unit["age"] = round(value / 12, 2)
    elif name == "pays":
        numbers["their_price"] = -value
    elif name in ("miles", "kilometres"):
        own = "miles" if settings.distance_unit == "mi" else "kilometres"
        factor = (
            1.0 if name == own else MILES_A_KILOMETRE if own == "miles" else 1 / MILES_A_KILOMETRE
        )
        numbers["miles"] = value * factor
    elif name == "minutes":
        numbers["hours"] = value / 60
    elif name == "of_ten":
        numbers["fix_chance"] = value / 10
    elif name == "percent":
        numbers["fix_chance"] = value / 100
    else:
        numbers[name] = value


def _float(text: str) -> float:
    return float(text.replace(",", "."))


def _read_phrases(text: str, unit: dict[str, Any], settings: Settings, known: Words) -> list[str]:
    """Fill `unit` from the words between commas; what nobody knows comes back, one phrase each."""
    left: list[str] = []
    features: list[str] = []
    repairs: list[str] = []
    vocabulary = _vocabulary(settings, known)
    for phrase in (part.strip(" .:-–\"'“”") for part in re.split(r"[,;\n]+", text)):
        if not phrase:
            continue
        if _place(phrase, unit, features, repairs, settings, vocabulary):
            continue
        if not unit.get("type"):
            found, rest = words.type_in(phrase, settings)
            if found:
                unit["type"] = found
                _beside_type(rest, unit, features, repairs, settings, vocabulary, left)
                continue
        left.extend(_scan(phrase, unit, features, repairs, settings, vocabulary))
    if features:
        unit["features"] = "; ".join(sorted(set(features)))
    if repairs:
        unit["repair"] = "; ".join(sorted(set(repairs)))
    return left


def _beside_type(
    rest: str,
    unit: dict[str, Any],
    features: list[str],
    repairs: list[str],
    settings: Settings,
    vocabulary: Mapping[str, dict[str, str]],
    left: list[str],
) -> None:
    """Words in one phrase with the type: an unknown first word is the maker ("Boltrane electric
    dryer")."""
    for phrase in _scan(rest, unit, features, repairs, settings, vocabulary):
        if not unit.get("maker") and len(phrase.split()) == 1 and phrase.isalpha():
            unit["maker"] = words.canonical("maker", phrase, settings)
        else:
            left.append(phrase)


def _scan(
    phrase: str,
    unit: dict[str, Any],
    features: list[str],
    repairs: list[str],
    settings: Settings,
    vocabulary: Mapping[str, dict[str, str]],
) -> list[str]:
    """Longest known stretches of a phrase taken away; the stretches between them that say something
    come back."""
    tokens = phrase.split()
    left: list[str] = []
    run: list[str] = []
    start = 0
    while start < len(tokens):
        for size in range(min(7, len(tokens) - start), 0, -1):
            stretch = " ".join(tokens[start : start + size])
            if _place(stretch, unit, features, repairs, settings, vocabulary):
                break
        else:
            run.append(tokens[start])
            start += 1
            continue
        left.append(" ".join(run))
        run = []
        start += size
    left.append(" ".join(run))
    return [
        part
        for part in left
        if any(word.lower().strip(".'\"") not in _IDLE for word in part.split())
    ]


def _place(
    phrase: str,
    unit: dict[str, Any],
    features: list[str],
    repairs: list[str],
    settings: Settings,
    vocabulary: Mapping[str, dict[str, str]],
) -> bool:
    """Whether the whole phrase is one known word of a column that is still free."""
    plain = re.sub(
        r"^(?:it's|its|it|is|in|with|has|have|a|an|the|and|new|replaced|does|condition:?)\s+",
        "",
        phrase.strip(),
        flags=re.I,
    )
    phrase = re.sub(r"\b(won|don|doesn|isn|can|didn)t\b", r"\1't", phrase, flags=re.I)
    plain = re.sub(r"\b(won|don|doesn|isn|can|didn)t\b", r"\1't", plain, flags=re.I)
    key = words.squash(phrase)
    for column in _PLACED:
        word = vocabulary[column].get(key) or vocabulary[column].get(words.squash(plain))
        if word is None and column == "condition":
            word = vocabulary[column].get(
                re.sub(r"\s*(?:condition|shape|once cleaned|when cleaned)$", "", key)
            )
        if word is None:
            continue
        if column == "features":
            features.append(word)
            return True
        if not unit.get(column):
            unit[column] = word
            return True
    repair = vocabulary["repair"].get(words.squash(plain)) or vocabulary["repair"].get(
        re.sub(r"\s*(?:replaced|changed|done)$", "", words.squash(plain))
    )
    if repair or re.match(r"(?:new|replaced)\s+\w", phrase, re.I):
        repairs.append(repair or words.canonical("repair", plain, settings))
        return True
    return False


def _vocabulary(settings: Settings, known: Words) -> dict[str, dict[str, str]]:
    """Per column: compared key -> our word. The record's own words go over the starting ones."""
    keys: dict[str, dict[str, str]] = {name: {} for name in (*_PLACED, "repair")}
    for column in ("type", "fault", "condition", "fuel", "features", "finish", "tier"):
        keys[column].update(words.column_words(column))
    for column in (
        "tier",
        "fuel",
        "finish",
        "condition",
    ):  # single letters and "new" are shorthand of sheets, not of speech
        keys[column] = {
            key: word
            for key, word in keys[column].items()
            if len(key) > 2 and key not in ("new", "used", "top", "average", "standard", "paid")
        }
    for feature in assumed.FEATURE_EFFECT:
        keys["features"][words.squash(feature)] = feature
    for table, column in (("types", "type"), ("faults", "fault"), ("conditions", "condition")):
        for theirs, ours in settings.words.get(table, {}).items():
            keys[column][words.squash(theirs)] = words.tidy(ours)
    for name in (*settings.assumed_types, *settings.usual_price):
        keys["type"][words.squash(name)] = name
    for name in settings.assumed_faults:
        keys["fault"][words.squash(name)] = name
    for column, own in known.items():
        if column in keys:
            keys[column].update({words.squash(word): word for word in own if word})
    return keys


def with_options(question: Question, options: Mapping[str, Any], settings: Settings) -> Question:
    """The question with the options that were given put over the words. Raises Refused for text
    where a number must be."""
    unit, numbers, made, at_curb = (
        dict(question.unit),
        dict(question.known),
        question.made,
        question.at_curb,
    )
    problems: list[Problem] = []
    for name, value in options.items():
        if value is None or (isinstance(value, str) and not value.strip()) or value is False:
            continue
        if name == "at_curb":
            at_curb = True
        elif name == "made":
            made = years_in(str(value))
            unit.pop("age", None) if made and options.get("age") is None else None
            if not made:
                problems.append(
                    Problem(
                        f"{value!r} names no year",
                        "write 2016, 2014-2016 or 2006,2016",
                        option="made",
                    )
                )
        elif name in BY_KNOWN:
            number = _option_number(name, value, problems)
            if number is not None:
                numbers[name] = number
        elif name in BY_NAME or name in settings.attributes:
            if is_numeric(name) or name in settings.number_attributes:
                number = _option_number(name, value, problems)
                if number is not None:
                    unit[name] = number
                    made = () if name == "age" and options.get("made") is None else made
            elif name in settings.attributes:
                unit[name] = words.tidy(str(value))
            else:
                word = words.canonical(name, str(value), settings)
                if word:
                    unit[name] = word
        else:
            names = [*_TOLD, *settings.attributes, *BY_KNOWN]
            guess = nearest(name, names)
            problems.append(
                Problem(
                    f"there is nothing called {name!r} to set",
                    (
                        f"did you mean {guess}?"
                        if guess
                        else "name it under [attributes] in pricing.toml first"
                    ),
                )
            )
    if problems:
        raise Refused(*problems)
    return replace(question, unit=unit, known=numbers, made=made, at_curb=at_curb)


def _option_number(name: str, value: Any, problems: list[Problem]) -> float | None:
    if isinstance(value, date):
        return float(value.toordinal())
    if isinstance(value, (int, float)):
        return float(value)
    text = str(value).strip().lower()
    if text == "free" and name == "their_price":
        return 0.0
    text = re.sub(r"^[$£€¥₹]\s*|\s*(?:years?|yrs?|miles?|mi|km|hours?|h|min)\.?$", "", text)
    share = text.endswith("%")
    if BY_NAME.get(name) is not None and BY_NAME[name].kind == "date":
        try:
            return float(date.fromisoformat(text).toordinal())
        except ValueError:
            problems.append(
                Problem(f"{value!r} is not a day", "write it as 2026-04-30", option=name)
            )
            return None
    try:
        number = float(
            text.rstrip("%").replace(",", "")
            if re.search(r"\d,\d{3}\b", text)
            else text.rstrip("%").replace(",", ".")
        )
    except ValueError:
        problems.append(
            Problem(f"{value!r} is not a number", "write digits, or leave it out", option=name)
        )
        return None
    return number / 100 if share and name == "fix_chance" else number


def said_back(question: Question, settings: Settings) -> str:
    """The question in our words."""
    from pricing.pages.laid_out import place_of
    from pricing.wording.question import said_back as words

    return words(dict(question.unit), dict(question.known), list(question.made), place_of(settings))


def _typed(name: str, value: Any) -> Any:
    """A value of an open unit as models read it: days as ordinal numbers."""
    if name in BY_NAME and BY_NAME[name].kind == "date" and isinstance(value, str):
        return float(date.fromisoformat(value).toordinal())
    return value


class HasOpenUnits(Protocol):
    """What was learned last (`Saved`), or the record as it stands."""

    def open_units(self) -> list[dict[str, Any]]: ...


def from_unit(
    unit_id: str, record: HasOpenUnits, options: Mapping[str, Any], settings: Settings, as_of: date
) -> Question:
    """A unit of the record that has not ended, by the person's own number; options go over what the
    record says."""
    units = record.open_units()
    row = next(
        (
            unit
            for unit in units
            if str(unit.get("unit", "")).strip().lower() == unit_id.strip().lower()
        ),
        None,
    )
    if row is None:
        guess = nearest(unit_id, [str(unit.get("unit", "")) for unit in units], cutoff=0.5)
        raise Refused(
            Problem(
                f"unit {unit_id} is not open, or was added after the last fit",
                f"did you mean {guess}?" if guess else "see pricing unsold, or run pricing fit",
            )
        )
    unit = {
        name: _typed(name, value)
        for name, value in row.items()
        if (name in BY_NAME or name in settings.attributes) and value not in (None, "")
    }
    made = years_in(str(unit["made"])) if unit.get("made") and unit.get("age") is None else ()
    got = unit.get("got") or unit.get("listed")
    if unit.get("age") is not None and got is not None:
        unit["age"] = float(unit["age"])
    return finished(with_options(Question(unit, made=made), options, settings), settings, as_of)


def from_file(path: Path, settings: Settings, as_of: date) -> list[Question | Problem]:
    """One Question or Problem for each row of a sheet, in its order. Raises Refused where the file
    as a whole cannot be read."""
    from pricing.ingest.read import read_file

    reading = read_file(path, settings, as_of, question=True)
    answers: dict[int, Question | Problem] = {}
    for rejected in reading.rejected:
        answers[rejected.record] = rejected.problems[0]
    for row in reading.rows:
        try:
            answers[row.record] = _from_row(row, settings, as_of)
        except Refused as refusal:
            answers[row.record] = replace(refusal.problems[0], file=str(path), line=row.line)
    if not answers:
        raise Refused(
            Problem(
                "there are no rows to answer in this file",
                "put one unit on a line below the header",
                file=str(path),
            )
        )
    return [answers[place] for place in sorted(answers)]


def _from_row(row: Row, settings: Settings, as_of: date) -> Question:
    """A row of a sheet: its own columns, and the numbers that replace an estimate where the sheet
    gives them."""
    values = row.as_unit()
    numbers = {name: value for name, value in row.known.items() if name in BY_KNOWN}
    for name in BY_KNOWN:
        if isinstance(values.get(name), (int, float)):
            numbers[name] = float(values[name])
    if values.get("on_trip"):
        numbers["on_trip"] = _float(str(values["on_trip"]))
    unit = {
        name: value
        for name, value in values.items()
        if (name in BY_NAME or name in settings.attributes)
        and name not in BY_KNOWN
        and value not in (None, "")
    }
    made = years_in(str(unit.pop("made"))) if unit.get("made") and unit.get("age") is None else ()
    warnings = tuple(
        f"{note.column}: {note.what}." if note.column else f"{note.what}." for note in row.notes
    )
    return finished(
        Question(unit, numbers, made, bool(row.known.get("at_curb")), warnings), settings, as_of
    )
