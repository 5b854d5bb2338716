"""The person's settings: every key of `pricing.toml` with its default, unit, check and meaning. A
broken file is refused with all its mistakes named; the tool never rewrites it."""

import math
from collections.abc import Callable, Mapping
from dataclasses import field, replace
from typing import Any

from pricing.basis import assumed
from pricing.basis.files import read_bytes, sha256
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.money_form import in_form
from pricing.basis.problems import Problem, Refused, meant, refused
from pricing.basis.word_tables import known_names

TABLES = ("usual_price", "new_price", "attributes", "headers", "words", "assumed")
ATTRIBUTE_KINDS = ("number", "log", "category", "ordered")
WORD_TABLES = ("types", "conditions", "outcomes", "faults")


@frozen
class Settings:
    """One person's settings, checked. Money in `currency`, shares 0-1; the rest: see KEYS."""

    currency: str = "USD"
    dollar_is: float | None = None
    region: str = ""
    date_order: str = "auto"
    decimal: str = "auto"
    money_form: str = "auto"
    hourly_target: float = 30.0
    distance_unit: str = "mi"
    cost_per_distance: float = 0.45
    mileage_rate: float | None = None
    mileage_rate_year: float | None = None
    mileage_rate_source: str | None = None
    average_speed: float = 28.0
    minutes_per_trip: float = 25.0
    selling_fee_share: float = 0.0
    selling_fee_fixed: float = 0.0
    spots: float = 6.0
    short_of: str = "units"
    hour_elsewhere: float | None = None
    holding_cost_per_day: float = 3.0
    clear_after_days: float = 56.0
    clear_share: float = 0.60
    scrap_price_per_weight: float = 0.07
    weight_unit: str = "lb"
    comebacks_of_100: float | None = None
    comeback_cost: float = 30.0
    comeback_hours: float = 1.5
    helper_cost_per_hour: float = 20.0
    cautious_loss_chance: float = 0.20
    coverage: float = 0.80
    sold_of_ten: float | None = None
    owner: str | None = None
    usual_price: Mapping[str, float] = field(default_factory=dict)
    new_price: Mapping[str, float] = field(default_factory=dict)
    attributes: Mapping[str, str] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    assumed_types: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    assumed_faults: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)

    @property
    def dollar(self) -> float | None:
        """What one dollar of the starting figures is in `currency`: the rate that is set, else what
        usual prices are of the table's on (geometric) average; None where nothing tells.

        >>> Settings(currency="EUR", dollar_is=0.9).dollar, Settings(currency="EUR").dollar
        (0.9, None)
        """
        if self.currency.upper() == "USD":
            return 1.0
        if self.dollar_is is not None:
            return self.dollar_is
        table = {row.type: row.price for row in (*assumed.TYPES, *assumed.PLAIN_TYPES)}
        told = [price / table[name] for name, price in self.usual_price.items() if name in table]
        return math.prod(told) ** (1 / len(told)) if told else None

    @property
    def hour_worth(self) -> float:
        """What an hour costs that a decision spends: what it would earn elsewhere, money.

        Where hours or space hold the person back, an hour not used here is used on another unit at
        the target. Where units do, it is free for something else; half the target is a guess.
        """
        if self.short_of != "units":
            return self.hourly_target
        if self.hour_elsewhere is None:
            return self.hourly_target / 2
        return min(self.hour_elsewhere, self.hourly_target)

    @property
    def number_attributes(self) -> tuple[str, ...]:
        """Names of own attributes that are kept as numbers."""
        return tuple(name for name, kind in self.attributes.items() if kind in ("number", "log"))


@frozen
class Key:
    """One key. kind: "number", "text" or a tuple of words; low, high: bounds of a number."""

    name: str
    kind: str | tuple[str, ...]
    default: Any
    unit: str
    meaning: str
    low: float = 0.0
    high: float = 1e6
    source: str = "a choice, no estimate"


def _key_of(name: str, kind: str, unit: str, meaning: str, *more: str) -> Key:
    """A key as the table has it; its default is that of the record of settings."""
    words = tuple(kind.split("/")) if "/" in kind else kind
    low, high, source = (*more, "", "", "")[:3]
    key = Key(name, words, getattr(Settings, name), unit, meaning)
    key = replace(key, low=float(low or key.low), high=float(high or key.high))
    return replace(key, source=source or key.source)


KEYS = tuple(_key_of(*parts) for parts in known_names("settings"))


def load_settings(home: Home) -> Settings:
    """The settings of a home, defaults where there is no file. Refused with every mistake in it."""
    path = home.settings_file
    if not path.exists():
        return Settings()
    import tomllib

    try:
        table = tomllib.loads(read_bytes(path).decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        what = "the settings are not plain text (UTF-8)"
        raise refused(what, "save the file as UTF-8 text", file=str(path)) from error
    except tomllib.TOMLDecodeError as error:
        what = f"the settings cannot be read: {error}"
        fix = "mend that line; text needs quotes, numbers need none"
        raise refused(what, fix, file=str(path)) from error
    settings, problems = read_settings(table, str(path))
    if problems:
        raise Refused(*problems)
    return settings


def own_name(name: str) -> str:
    """A type or fault as the starting table spells it, whatever the capitals; any other in lower
    case, as the record keeps it.

    >>> own_name("Window ac"), own_name("My Kiln")
    ('window AC', 'my kiln')
    """
    known = {row.type.lower(): row.type for row in assumed.TYPES}
    known |= {row.fault.lower(): row.fault for row in assumed.FAULTS}
    return known.get(name.strip().lower(), name.strip().lower())


def settings_digest(settings: Settings) -> str:
    """SHA-256 of the settings that a fit depends on; costs and habits of asking need no new fit."""
    learned_with = (
        settings.currency, settings.dollar_is, settings.usual_price, settings.attributes,
        settings.words, settings.assumed_types, settings.assumed_faults, settings.sold_of_ten,
    )  # fmt: skip
    return sha256(repr(learned_with).encode())


def read_settings(
    table: Mapping[str, Any], file: str = "pricing.toml"
) -> tuple[Settings, list[Problem]]:
    """Settings from a parsed table, and every mistake in it; such a key keeps its default.

    >>> read_settings({"spot": 3})[1][0].fix
    'did you mean spots?'
    """
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    by_name = {key.name: key for key in KEYS}

    def wrong(column: str, value: Any, what: str, fix: str, expected: str | None = None) -> None:
        said = None if value is None else str(value)
        problems.append(Problem(what, fix, file, None, column, said, expected))

    wide = _bound_factor(table)
    for name, value in table.items():
        if name in by_name:
            key = by_name[name]
            far = wide if key.unit.startswith("money") else 1.0
            _read_key(replace(key, high=key.high * far), value, values, wrong)
        elif name not in TABLES:
            fix = meant(name, [*by_name, *TABLES], "remove the line")
            wrong(name, None, "there is no such setting", fix)
        elif isinstance(value, Mapping):
            _read_table(name, value, values, wrong)
        else:
            fix = f"write [{name}] on a line of its own, then one line each"
            wrong(name, None, f"[{name}] must be a table", fix)
    currency = values.get("currency", "USD")
    if not (isinstance(currency, str) and len(currency) == 3 and currency.isalpha()):
        wrong("currency", currency, "the currency is three letters", 'write currency = "USD"')
    read = Settings(**values)
    money = in_form(read.currency, read.decimal, read.money_form)
    return replace(read, currency=money, **_defaults_in(read, values)), problems


def _bound_factor(table: Mapping[str, Any]) -> float:
    """How much further amounts may go than in dollars: small units of money make large numbers."""
    if str(table.get("currency", "USD")).upper() == "USD":
        return 1.0
    rate = table.get("dollar_is")
    return max(1.0, rate) if isinstance(rate, int | float) and rate > 0 else 1e5


def _defaults_in(read: Settings, told: Mapping[str, Any]) -> dict[str, Any]:
    """Defaults nobody set, which are dollars, miles and pounds, in the person's own units."""
    found: dict[str, Any] = {}
    for key in KEYS:
        if key.kind != "number" or key.default is None or key.name in told:
            continue
        value = key.default
        if key.unit.startswith("money") and read.dollar is not None:
            value *= read.dollar
        if read.distance_unit == "km":
            value *= _OF_A_MILE.get(key.unit, 1.0)
        if read.weight_unit == "kg" and key.unit == "money a weight unit":
            value /= POUND_KG
        if value != key.default:
            found[key.name] = value
    return found


MILE_KM, POUND_KG = 1.609344, 0.45359237  # NIST Special Publication 811, appendix B
_OF_A_MILE = {"money a distance unit": 1 / MILE_KM, "distance an hour": MILE_KM}


def _read_key(key: Key, value: Any, values: dict[str, Any], wrong: Callable[..., None]) -> None:
    if key.kind == "number":
        is_number = isinstance(value, (int, float)) and not isinstance(value, bool)
        good = is_number and key.low <= value <= key.high
        expected = f"a number from {key.low:g} to {key.high:g} ({key.unit})"
    elif key.kind == "text":
        good, expected = isinstance(value, str) and bool(value.strip()), "text in quotes"
    else:
        good, expected = value in key.kind, " or ".join(f'"{word}"' for word in key.kind)
    if good:
        kept = value.strip() if key.kind == "text" else value
        values[key.name] = float(value) if key.kind == "number" else kept
    else:
        fix = f"write {key.name} = … with {expected}"
        wrong(key.name, value, f"{key.meaning}: not possible", fix, expected)


def _read_table(
    name: str, table: Mapping[str, Any], values: dict[str, Any], wrong_at: Callable[..., None]
) -> None:
    """One of TABLES: what is right of it goes to `values`, the rest is said."""

    def wrong(key: str, value: Any, what: str, fix: str) -> None:
        wrong_at(f"{name}.{key}", str(value), what, fix)

    if name == "assumed":
        _read_figures(table, values, wrong)
        return
    is_right, what, fix, kept_as = _ENTRIES[name]
    kept = {}
    for key, value in table.items():
        if is_right(key, value):
            kept[own_name(key) if name.endswith("_price") else key] = kept_as(value)
        else:
            wrong(key, value, what, fix.format(key))
    values[name] = kept


def _is_price(key: str, value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value <= 1e7


def _is_word_table(key: str, value: Any) -> bool:
    is_table = key in WORD_TABLES and isinstance(value, Mapping)
    return is_table and all(isinstance(word, str) for word in value.values())


_PRICES = (_is_price, "a price is a number above 0", 'write "{}" = 250', float)
# table: whether an entry is right, what is wrong else, how to mend it, and how it is kept
_ENTRIES: dict[str, tuple[Callable[[str, Any], bool], str, str, Callable[[Any], Any]]] = {
    "usual_price": _PRICES,
    "new_price": _PRICES,
    "attributes": (
        lambda key, value: value in ATTRIBUTE_KINDS,
        "an attribute is one of " + ", ".join(ATTRIBUTE_KINDS),
        'write {} = "number"',
        str,
    ),
    "headers": (
        lambda key, value: isinstance(value, str),
        "a header is named by text",
        'write "{}" = "price"',
        str,
    ),
    "words": (
        _is_word_table,
        "own words stand in [words.types], [words.conditions], [words.outcomes] or [words.faults]",
        'write "their word" = "our word" under one of them',
        dict,
    ),
}


def _read_figures(
    table: Mapping[str, Any], values: dict[str, Any], wrong: Callable[[str, Any, str, str], None]
) -> None:
    """Starting figures of one's own, by type and by fault."""
    for group, row_fields in (("types", assumed.TYPE_FIELDS), ("faults", assumed.FAULT_FIELDS)):
        rows = table.get(group, {})
        given = rows if isinstance(rows, Mapping) else {}
        values[f"assumed_{group}"] = _read_assumed(group, given, row_fields, wrong)
    for key in [key for key in table if key not in ("types", "faults")]:
        what = "starting figures stand under types or faults"
        wrong(key, table[key], what, '[assumed.types."electric dryer"]')


def _read_assumed(group: str, rows: Mapping[str, Any], known: set[str], wrong: Any) -> Any:
    kept: dict[str, dict[str, Any]] = {}
    for row, changes in rows.items():
        good: dict[str, Any] = {}
        kept[own_name(row)] = good
        if not isinstance(changes, Mapping):
            what = "a starting figure needs a table of its own"
            wrong(f"{group}.{row}", changes, what, f'[assumed.{group}."{row}"]')
            continue
        for key, value in changes.items():
            if key not in known:
                what = "there is no such starting figure"
                fix = meant(key, sorted(known), f"one of {', '.join(sorted(known))}")
            elif key in ("family", "found"):
                what, fix = "this figure is not possible", "write text in quotes"
                if isinstance(value, str):
                    good[key], what = value, ""
            else:
                what = "this figure is not possible"
                fix = "write a number in its usual range (chances 0 to 1, prices and days above 0)"
                if _possible(key, value):
                    good[key], what = float(value), ""
            if what:
                wrong(f"{group}.{row}.{key}", value, what, fix)
    return kept


def _possible(key: str, value: Any) -> bool:
    if not isinstance(value, (int, float)) or isinstance(value, bool) or not abs(value) < 1e7:
        return False
    if key == "fix":
        return 0 <= value <= 1
    if key in ("price", "low", "high", "days"):
        return value > 0
    return key in ("slope_5y", "scrap") or value >= 0
